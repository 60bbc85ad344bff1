"""What a pick comes to: a kit and its proof, or that there is none."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from kitsolver.brief.brief import Brief
from kitsolver.craft.fit import Size
from kitsolver.craft.lengths import rounded
from kitsolver.shop.home_list import HomeList
from kitsolver.shop.money import to_decimal
from kitsolver.shop.showing import ShowsItself
from kitsolver.shop.skipped import NOT_COUNTED, RowCounts
from kitsolver.shop.till import Receipt
from kitsolver.solve.audit.audit import Check
from kitsolver.solve.audit.evidence import Shade
from kitsolver.solve.class_plan import ClassPlan
from kitsolver.solve.figures import Figures


class Status(StrEnum):
    """How a search ended."""

    BEST = "best"
    BEST_SO_FAR = "best so far"
    NO_KIT = "no kit"


@dataclass(frozen=True)
class Line:
    """One line of a kit; money in minor units, `quality` in hundredths.

    `from_home` are those of its units that the home list has. Of a single thread `units` are the
    skeins bought; `metres_from_home` is what is taken of its thread at home, and `metres_left` what
    is left of that; None where there is none. `currency` is that of the price.
    """

    sku: str
    name: str
    category: str
    role: str
    units: int
    price: int
    quality: int
    from_home: int = 0
    metres_from_home: Decimal | None = None
    metres_left: Decimal | None = None
    currency: str = ""

    @property
    def bought(self) -> int:
        """The units that are bought."""
        return self.units - self.from_home

    @property
    def listed(self) -> bool:
        """Whether something of the line comes from home."""
        return self.from_home > 0 or bool(self.metres_from_home)

    @property
    def total(self) -> int:
        """What the line costs."""
        return self.bought * self.price

    @property
    def price_decimal(self) -> Decimal:
        """What a unit costs, in the currency's units."""
        return to_decimal(self.price, self.currency)

    @property
    def total_decimal(self) -> Decimal:
        """What the line costs, in the currency's units."""
        return to_decimal(self.total, self.currency)

    @property
    def quality_decimal(self) -> Decimal:
        """The quality, 0 to 100."""
        return Decimal(self.quality) / 100


@dataclass(frozen=True)
class FitFigures:
    """How the design lies on the fabric; None where not known. Sizes in length units.

    `rolled` tells that the fabric is one length off a roll, of which the units are steps; `cloth`
    is the fabric's own colour.
    """

    strands: int | None = None
    effective_count: Fraction | None = None
    finished: Size | None = None
    cut: Size | None = None
    fabric: Size | None = None
    turned: bool | None = None
    pieces: int | None = None
    repeats: int | None = None
    rolled: bool = False
    cloth: str | None = None


@dataclass(frozen=True)
class Kit(ShowsItself):
    """A complete kit, added up; money in minor units.

    Parameters
    ----------
    lines : tuple of Line
        Needs in the brief's order, then extras by sku.
    shades : tuple of Shade
        In chart order.
    currency : str
        Of its sums.
    home : HomeList or None
        The home list with the rows that the kit uses; None where there is no list.
    trade_cost : int or None
        What its lines cost the shop, where a margin is asked.
    checks : tuple of Check
        What the audit found, each recomputed from the catalogue's rows.
    """

    lines: tuple[Line, ...]
    receipt: Receipt
    figures: Figures
    shades: tuple[Shade, ...]
    fit: FitFigures
    currency: str
    home: HomeList | None = None
    trade_cost: int | None = None
    checks: tuple[Check, ...] = ()

    @property
    def order(self) -> list[tuple[str, int]]:
        """What kits of equal figures are distinguished by: the smallest comes first."""
        return sorted((line.sku, line.units) for line in self.lines)

    @property
    def goods_decimal(self) -> Decimal:
        """The goods at shelf prices, in the currency's units."""
        return to_decimal(self.receipt.goods, self.currency)

    @property
    def payable_decimal(self) -> Decimal:
        """What is paid, all in, in the currency's units."""
        return to_decimal(self.receipt.payable, self.currency)

    @property
    def quality_decimal(self) -> Decimal:
        """Quality with six decimals, 0 to 100."""
        return rounded(self.figures.quality, unit=1, decimals=6)

    @property
    def extras_decimal(self) -> Decimal:
        """The sum of the extras' quality with six decimals."""
        return rounded(self.figures.extras, unit=1, decimals=6)


@dataclass(frozen=True)
class ChartCount:
    """How many charts were considered, and how many of them had to be opened for the proof."""

    considered: int
    opened: int

    @property
    def bounded_away(self) -> int:
        """How many were never opened, because their upper bound is below the best kit."""
        return self.considered - self.opened


@dataclass(frozen=True)
class Rung:
    """The least cap, in minor units, at which the best kit gets better, and its figures."""

    cap: int
    figures: Figures


@dataclass(frozen=True)
class Outcome(ShowsItself):
    """The answer to a brief.

    Parameters
    ----------
    status : Status
        ``best`` is said of what is proven only.
    brief : Brief
        What was asked.
    kit : Kit or None
        None if there is no kit.
    bound : Figures or None
        What no kit beats; equal to the kit's figures if it is proven best.
    charts : ChartCount or None
        Of what a search chart by chart looked at.
    next_rung : Rung or None
        The first rung above the cap, up to twice the cap; None if there is none, or none was
        looked for.
    plan : ClassPlan or None
        What a class is to be given; None for one head.
    row_counts : RowCounts
        The rows of the catalogue that it was found among, and those that were skipped.
    confirmed : bool
        Whether a second solver proved the same; false if it was not asked, or time ran out.
    """

    status: Status
    brief: Brief
    kit: Kit | None = None
    bound: Figures | None = None
    charts: ChartCount | None = None
    next_rung: Rung | None = None
    plan: ClassPlan | None = None
    row_counts: RowCounts = NOT_COUNTED
    confirmed: bool = False
