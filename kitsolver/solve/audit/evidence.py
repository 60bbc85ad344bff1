"""What the audit goes by: a kit's own claim, and the raw rows of the catalogue, read anew.

Shares no code with the solver.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cached_property

from kitsolver.brief.at_home import HomeChart, HomeFabric, HomeHoop, HomeNeedle
from kitsolver.brief.brief import Brief
from kitsolver.craft.fit import Size, cut_size, effective_count, finished_size
from kitsolver.craft.lengths import CM, INCH, rounded
from kitsolver.craft.thread import USUAL_KIND, Charted
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.columns.charted import charted

Row = Mapping[str, str]
# Whether a rule holds, None where it could not be checked; and what was seen.
Verdict = tuple[bool | None, str]


@dataclass(frozen=True)
class Piece:
    """A line as the kit claims it; price in minor units.

    `from_home` are those of its units that come from home, `metres` is the single thread that does.
    """

    sku: str
    category: str
    role: str
    units: int
    price: int
    from_home: int = 0
    metres: Decimal | None = None


@dataclass(frozen=True)
class Shade:
    """The thread colour of one chart colour.

    `stitches` are in halves; `sku` is None for a shade from home, `difference` is in
    ten-thousandths, `skeins` is for all pools, `backstitch` is in length units, and `kind` is
    that of the thread that is charted.
    """

    chart_colour: str
    stitches: int | Fraction
    sku: str | None
    thread_colour: str
    difference: int
    skeins: int
    backstitch: Fraction = Fraction(0)
    kind: str = USUAL_KIND


@dataclass(frozen=True)
class Claim:
    """What a kit says of itself; money in minor units, figures exact."""

    lines: Sequence[Piece]
    shades: Sequence[Shade]
    goods: int
    discount: int
    delivery: int
    tax: int
    payable: int
    quality: Fraction
    extras: Fraction


@dataclass(frozen=True)
class Evidence:
    """A claim beside the raw rows and the brief it is held against."""

    claim: Claim
    catalogue: Catalogue
    brief: Brief

    @cached_property
    def rows(self) -> dict[str, Row]:
        """The raw row of every line."""
        return {
            line.sku: with_figures(line.category, self.catalogue.row(line.sku))
            for line in self.claim.lines
        }

    @property
    def kits(self) -> int:
        """How many kits are made: one for every head, and the spare ones."""
        return self.brief.heads + self.brief.spare

    def needed(self, category: str) -> list[Piece]:
        """Return the lines that claim to be the choice of a need."""
        lines = self.claim.lines
        return [line for line in lines if line.role == "need" and line.category == category]

    def home(self, category: str) -> object:
        """Return what the brief says of a need at home: False, True, or its description."""
        return self.brief.need(category).have if category in self.brief.holds else False

    def bought(self, category: str) -> bool:
        """Tell whether the kit has to provide a need, and is scored on it."""
        have = self.home(category)
        return category in self.brief.holds and (not have or isinstance(have, tuple))

    def _one(self, category: str) -> Row | None:
        lines = self.needed(category)
        return self.rows[lines[0].sku] if lines else None

    @cached_property
    def stitches(self) -> tuple[int, int] | None:
        """The chart's width and height in stitches, where known."""
        if row := self._one("chart"):
            return int(row["stitches_wide"]), int(row["stitches_high"])
        have = self.home("chart")
        if isinstance(have, HomeChart) and have.stitches_wide and have.stitches_high:
            return have.stitches_wide, have.stitches_high
        return None

    @cached_property
    def charted(self) -> list[Charted] | None:
        """What the chart asks of each colour, where known."""
        if row := self._one("chart"):
            cells = (row.get(name, "") for name in ("colour_kinds", "colour_strands"))
            return list(charted(row["colours"], *cells))
        have = self.home("chart")
        shades = have.shades if isinstance(have, HomeChart) else None
        return list(shades) if shades is not None else None

    @cached_property
    def count(self) -> Fraction | None:
        """The effective count, where known."""
        over = self.brief.fit.over
        if row := self._one("fabric"):
            return effective_count(row["weave"], Fraction(row["count"]), over)
        have = self.home("fabric")
        if isinstance(have, HomeFabric) and have.weave and have.count:
            return effective_count(have.weave, Fraction(have.count), over)
        return None

    @cached_property
    def fabric(self) -> Size | None:
        """The size of the uncut fabric, where known."""
        if row := self._one("fabric"):
            if row.get("sold_by") == "length":
                (line,) = self.needed("fabric")
                return Size(length_of(row, "width"), line.units * step_of(row))
            return Size(length_of(row, "width"), length_of(row, "height"))
        have = self.home("fabric")
        return have.size if isinstance(have, HomeFabric) else None

    @property
    def rolled(self) -> bool:
        """Whether the fabric is one length off a roll."""
        row = self._one("fabric")
        return row is not None and row.get("sold_by") == "length"

    @cached_property
    def cloth(self) -> str:
        """The fabric's own colour; blank where not given."""
        if row := self._one("fabric"):
            return row.get("colours", "").lower()
        have = self.home("fabric")
        return (have.colours or "") if isinstance(have, HomeFabric) else ""

    @cached_property
    def cut(self) -> Size | None:
        """The size of one head's cut, where known."""
        if self.stitches is None or self.count is None:
            return None
        margin = self.brief.fit.margin
        return cut_size(finished_size(*self.stitches, self.count), margin)

    @cached_property
    def worked_on(self) -> Size | None:
        """The piece one head works on, where known."""
        uncut = self.stitches is None and self.needed("fabric")
        return self.fabric if self.kits == 1 or uncut else self.cut

    @cached_property
    def needles(self) -> dict[str, frozenset[int]]:
        """The needle sizes of every needle in hand, by what it is called."""
        found = {
            sku: frozenset(int(size) for size in row["needle_sizes"].split(";"))
            for sku, row in self.rows.items()
            if row["category"] == "needle"
        }
        have = self.home("needle")
        if isinstance(have, HomeNeedle):
            found["the needle at home"] = frozenset(have.needle_sizes)
        return found

    @cached_property
    def hoops(self) -> dict[str, Fraction]:
        """The diameter of every hoop in hand, by what it is called."""
        found = {
            sku: length_of(row, "diameter")
            for sku, row in self.rows.items()
            if row["category"] == "hoop"
        }
        have = self.home("hoop")
        if isinstance(have, HomeHoop):
            found["the hoop at home"] = have.diameter
        return found

    @cached_property
    def openings(self) -> dict[str, Size]:
        """The opening of every row in hand that is to frame the design."""
        found = {}
        for sku, row in self.rows.items():
            for name, unit in (("opening_cm", CM), ("opening_in", INCH)):
                said = row.get(name, "").replace("×", "x")
                if said and row["category"] not in ("chart", "fabric", "thread"):
                    sides = [Fraction(side.strip()) * unit for side in said.split("x")]
                    found[sku] = Size(sides[0], sides[-1])
        return found

    def scored(self, category: str, row: Row) -> Fraction:
        """Return what a row counts as the choice of a need, from 0 to 100."""
        need = self.brief.need(category)
        if not need.score:
            return Fraction(row["quality"])
        total = Fraction(0)
        for column, weight in need.score.items():
            low, high = map(Fraction, need.range.get(column, (0, 100)))
            said = row.get(column, "")
            share = (Fraction(said) - low) / (high - low) if said else Fraction(0)
            total += Fraction(weight) * min(max(share, Fraction(0)), Fraction(1))
        parts = sum(map(Fraction, need.score.values()))
        return Fraction(int(total / parts * 10_000 + Fraction(1, 2)), 100)

    def listed(self, sku: str) -> Row | None:
        """Return the row of the home list as it is written; None if there is none."""
        row = self.catalogue.at_home(sku)
        return None if row is None else row.cells

    def single(self, sku: str) -> bool:
        """Tell whether a line is a single thread."""
        row = self.rows[sku]
        return row["category"] == "thread" and ";" not in row["colours"]

    def only_at_home(self, sku: str) -> bool:
        """Tell whether the shop does not sell what a line is of."""
        row = self.catalogue.at_home(sku)
        return row is not None and row.only_here

    def owned(self, sku: str) -> bool:
        """Tell whether the buyer owns it already."""
        return sku in self.brief.choose.own

    def price(self, sku: str) -> int:
        """Return what a unit costs this buyer, in minor units, by the row itself."""
        row = self.rows[sku]
        if self.owned(sku):
            return 0
        if row.get("sold_by") == "length":
            # What it costs is said of 10 cm.
            step = Decimal(row.get("step_cm") or 10) / 10
            return self.brief.minor(Decimal(row["price"]) * step)
        return self.brief.minor(Decimal(row["price"]))


def with_figures(category: str, row: Row) -> Row:
    """Return a row with the columns that are computed for charts: stitches, and their colours."""
    if category != "chart" or not row.get("colours"):
        return row
    stitches = [Fraction(entry.split(":")[1]) for entry in row["colours"].split(";")]
    total = sum(stitches, Fraction(0))
    return {
        **row,
        "stitches": format(Decimal(total.numerator) / total.denominator, "f"),
        "shades": str(len(stitches)),
    }


def step_of(row: Row) -> Fraction:
    """Return the step by which fabric is cut off the roll, in length units."""
    return Fraction(row.get("step_cm") or 10) * CM


def length_of(row: Row, what: str) -> Fraction:
    """Return a length of a row in length units, in whichever unit the row gives it."""
    if row.get(f"{what}_cm"):
        return Fraction(row[f"{what}_cm"]) * CM
    return Fraction(row[f"{what}_in"]) * INCH


def detail_of(wrong: list[str], good: str, bad: str) -> str:
    """Return what was seen: what is wrong, or that all is good."""
    return f"{bad} {', '.join(wrong)}" if wrong else good


def number(value: Fraction | int) -> str:
    """Return a number to two decimals, without those that say nothing."""
    return format(rounded(Fraction(value), 1), "f").rstrip("0").rstrip(".")
