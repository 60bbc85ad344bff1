"""The brief: what one buyer asks for."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from math import ceil, floor
from typing import Annotated, Any, Literal

from pydantic import (
    BeforeValidator,
    ConfigDict,
    Field,
    PlainSerializer,
    PlainValidator,
    model_validator,
)

from kitsolver.brief.at_home import (
    ChartAtHome,
    FabricAtHome,
    HoopAtHome,
    NeedleAtHome,
    NeedleSizes,
    Part,
    ThreadAtHome,
)
from kitsolver.brief.numbers import (
    Counted,
    Currency,
    DiscountRate,
    Flag,
    Hex,
    Money,
    Number,
    Positive,
    Rate,
    Whole,
    Word,
    read_number,
)
from kitsolver.craft.colour import DIFFERENCE_UNIT
from kitsolver.craft.lengths import CM, INCH
from kitsolver.shop.money import to_minor, to_text
from kitsolver.shop.till import Till

DEFAULT_NEEDS = ("chart", "fabric", "thread", "needle", "scissors")
# Three inches, for framing (common practice, no source).
USUAL_MARGIN_CM = Decimal("7.62")
_MARGINS = ("margin_cm", "margin_in")


def _allowed(value: Any) -> Any:
    """One allowed value may stand without its list."""
    return list(value) if isinstance(value, (list, tuple)) else [value]


def _one_allowed(value: Any) -> str | int | Decimal:
    whole = isinstance(value, int) and not isinstance(value, bool)
    return value if whole or isinstance(value, str) else read_number(value)


def _bare(value: str | int | Decimal) -> str | int | float:
    """Numbers stay numbers when a brief is dumped: text is compared in another way."""
    return float(value) if isinstance(value, Decimal) else value


Allowed = Annotated[
    tuple[Annotated[str | int | Decimal, PlainValidator(_one_allowed)], ...],
    BeforeValidator(_allowed),
    PlainSerializer(lambda values: [_bare(value) for value in values], when_used="json"),
]


class Conditions(Part):
    """What a row must be like."""

    only: dict[str, Allowed] = {}
    tags_any: tuple[Word, ...] = ()
    tags_none: tuple[Word, ...] = ()
    max_price: Money | None = None
    min_quality: Number | None = None


class WholeKit(Part):
    """What every row of the kit must be like, need or extra."""

    tags_none: tuple[Word, ...] = ()
    tags_all: tuple[Word, ...] = ()


class Need(Conditions):
    """How the one choice of a category is made."""

    weight: Number = Decimal(1)
    score: dict[Word, Number] = {}
    range: dict[Word, tuple[Number, Number]] = {}
    shared_by: Counted = 1
    have: Flag = False


# What may be described widens `have`: unsafe, mypy says, for values that change. These do not.


class ChartNeed(Need):
    """The chart, which may be at home and described."""

    have: ChartAtHome = False  # type: ignore[assignment]


class FabricNeed(Need):
    """The fabric, which may be at home and described."""

    have: FabricAtHome = False  # type: ignore[assignment]


class ThreadNeed(Need):
    """The thread; single shades may be at home."""

    have: ThreadAtHome = False  # type: ignore[assignment]


class NeedleNeed(Need):
    """The needle, which may be at home and described."""

    have: NeedleAtHome = False  # type: ignore[assignment]


class HoopNeed(Need):
    """A hoop that is asked for, which may be at home and described."""

    have: HoopAtHome = False  # type: ignore[assignment]


class Needs(Part):
    """One table a need; categories without rules of their own are read as `Need`."""

    model_config = ConfigDict(frozen=True, extra="allow", defer_build=True)
    __pydantic_extra__: dict[str, Need]

    chart: ChartNeed | None = None
    fabric: FabricNeed | None = None
    thread: ThreadNeed | None = None
    needle: NeedleNeed | None = None
    hoop: HoopNeed | None = None


class Extras(Part):
    """What may be bought with what the needs leave over."""

    spend: Literal["leftover", "together", "none"] = "leftover"
    weight: Number = Decimal("0.25")
    categories: tuple[Word, ...] | None = None
    most: Whole | None = None
    conditions: dict[Word, Conditions] = {}

    @property
    def together(self) -> bool:
        """Whether quality and extras are one figure, weighed together."""
        return self.spend == "together"


_NO_CONDITIONS = Conditions()


class Shop(Part):
    """What the shop itself asks of a kit: a margin on what it sells it at."""

    margin_rate: Rate | None = None
    sell_at: Money | None = None
    uncosted: Literal["refuse", "leave out"] = "refuse"


class Lesson(Part):
    """How quickly a class stitches, and for how long at a time."""

    # 50 to 75 crosses an hour for a beginner (fact of the trade, no source).
    stitches_an_hour: Positive = Decimal(60)
    minutes: Positive | None = None


class Choose(Part):
    """Skus that are kept, left out or owned."""

    keep: tuple[Word, ...] = ()
    leave_out: tuple[Word, ...] = ()
    own: tuple[Word, ...] = ()


class Fit(Part):
    """Margin, threads a stitch spans, waste, and the tables' overrides."""

    margin_cm: Number | None = None
    margin_in: Number | None = None
    over: Counted = 2
    waste: Rate = Decimal("0.20")
    strands: Counted | None = None
    needles: dict[Number, NeedleSizes] = {}

    @model_validator(mode="before")
    @classmethod
    def _give_the_usual_margin(cls, data: Any) -> Any:
        if isinstance(data, dict) and all(data.get(key) is None for key in _MARGINS):
            return {**data, "margin_cm": USUAL_MARGIN_CM}
        return data

    @property
    def margin(self) -> Fraction:
        """Bare fabric on each side in length units."""
        if self.margin_in is not None:
            return Fraction(self.margin_in) * INCH
        return Fraction(self.margin_cm or 0) * CM

    @cached_property
    def needle_table(self) -> dict[Fraction, frozenset[int]]:
        """Needle sizes that replace the table's, by effective count."""
        return {Fraction(count): frozenset(sizes) for count, sizes in self.needles.items()}


class Shades(Part):
    """How thread colours are matched to charted colours."""

    mode: Literal["charted", "free"] = "charted"
    tolerance: Number = Decimal("6.0")
    mismatch: Number = Decimal("5.0")
    contrast: Number = Decimal(10)
    keep_values: Flag = True
    on_cloth: Number | None = None
    kinds: dict[Word, tuple[Word, ...]] = {}
    wish: tuple[Hex, ...] = ()

    @property
    def free(self) -> bool:
        """Whether the chart's colours are only places, for any thread colours."""
        return self.mode == "free"

    @property
    def least_contrast(self) -> int:
        """The least by which shades must differ from each other, in ten-thousandths."""
        return ceil(self.contrast * DIFFERENCE_UNIT) if self.free else 0

    @property
    def cloth_contrast(self) -> int:
        """The least by which shades must differ from the cloth's own colour, likewise."""
        return max(self.least_contrast, ceil((self.on_cloth or Decimal(0)) * DIFFERENCE_UNIT))


class TillRules(Part):
    """From shelf prices to what is paid."""

    discount_rate: DiscountRate = Decimal(0)
    delivery: Money = Decimal(0)
    delivery_free_from: Money = Decimal(0)
    tax_rate: Rate = Decimal(0)
    tax_on_delivery: Flag = False
    rounding: Literal["half-up", "half-even"] = "half-up"


class Brief(Part):
    """What one buyer asks for, complete with its defaults."""

    title: Annotated[str, Field(strict=True)] = ""
    currency: Currency
    cap: Money | None = None
    cap_per_head: Money | None = None
    heads: Counted = 1
    spare: Whole = 0
    units: Literal["cm", "in"] = "cm"
    holds: tuple[Word, ...] = DEFAULT_NEEDS
    needs: Needs = Field(default_factory=lambda: Needs.model_validate({}))
    all: WholeKit = WholeKit()
    extras: Extras = Extras()
    choose: Choose = Choose()
    fit: Fit = Field(default_factory=lambda: Fit.model_validate({}))
    shades: Shades = Shades()
    till: TillRules = TillRules()
    shop: Shop = Shop()
    lesson: Lesson = Lesson()

    @model_validator(mode="before")
    @classmethod
    def _give_every_need_its_table(cls, data: Any) -> Any:
        if not isinstance(data, dict):
            return data
        holds, needs = data.get("holds", DEFAULT_NEEDS), data.get("needs", {})
        if not isinstance(holds, (list, tuple)) or not isinstance(needs, dict):
            return data
        tables: dict[str, Any] = {need.strip(): {} for need in holds if isinstance(need, str)}
        given = {need: table for need, table in needs.items() if table is not None}
        return {**data, "needs": tables | given}

    def need(self, category: str) -> Need:
        """Return the table of a need.

        Raises
        ------
        KeyError
            If `category` is no need of this brief.
        """
        return self._tables[category]

    @cached_property
    def _tables(self) -> dict[str, Need]:
        return dict(self.need_tables)

    @property
    def need_tables(self) -> Iterator[tuple[str, Need]]:
        """Every table of needs with its category."""
        fixed = ((name, getattr(self.needs, name)) for name in type(self.needs).model_fields)
        extra = (self.needs.__pydantic_extra__ or {}).items()
        yield from ((name, table) for name, table in (*fixed, *extra) if table is not None)

    @property
    def kits(self) -> int:
        """How many kits are made: one for every head, and the spare ones."""
        return self.heads + self.spare

    def buys(self, category: str) -> bool:
        """Tell whether a category is a need that is not met by what is at home.

        Shades at home do not meet the need for thread: they are candidates beside the shop's.
        """
        if category not in self.holds:
            return False
        have = self.need(category).have
        return not have or isinstance(have, tuple)

    def conditions(self, category: str) -> Conditions:
        """Return the conditions for a category's rows, be it a need or not."""
        if category in self.holds:
            return self.need(category)
        return self.extras.conditions.get(category, _NO_CONDITIONS)

    @property
    def condition_tables(self) -> Iterator[tuple[str, Conditions]]:
        """Every table of conditions with its place in the brief, ``needs.fabric`` or the like."""
        for need, table in self.need_tables:
            yield f"needs.{need}", table
        for category, conditions in self.extras.conditions.items():
            yield f"extras.conditions.{category}", conditions

    @property
    def total_cap(self) -> int:
        """The cap for the whole order in minor units."""
        if self.cap is not None:
            return self.minor(self.cap)
        return self.minor(self.cap_per_head or Decimal(0)) * self.heads

    def with_cap(self, minor: int) -> Brief:
        """Return the same brief with another cap for the whole order, in minor units."""
        cap = Decimal(to_text(minor, self.currency))
        return self.model_copy(update={"cap": cap, "cap_per_head": None})

    @property
    def most_trade_cost(self) -> int | None:
        """The most that a kit may cost the shop, in minor units; None where no margin is asked."""
        if self.shop.sell_at is None or self.shop.margin_rate is None:
            return None
        return floor(self.minor(self.shop.sell_at) * (1 - Fraction(self.shop.margin_rate)))

    def minor(self, amount: Decimal) -> int:
        """Return a sum of this brief in minor units."""
        return to_minor(amount, self.currency)

    @cached_property
    def exact_till(self) -> Till:
        """The till in minor units and exact rates."""
        return Till(
            discount_rate=Fraction(self.till.discount_rate),
            delivery=self.minor(self.till.delivery),
            delivery_free_from=self.minor(self.till.delivery_free_from),
            tax_rate=Fraction(self.till.tax_rate),
            tax_on_delivery=self.till.tax_on_delivery,
            half_even=self.till.rounding == "half-even",
        )
