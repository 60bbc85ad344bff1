"""How the kit is stitched: the fit on the fabric, the shades, and a class's speed."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from math import ceil
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, model_validator

from kitsolver.brief.at_home import NeedleSizes
from kitsolver.brief.frozen import FrozenDict
from kitsolver.brief.numbers import Counted, Flag, Hex, Number, Positive, Rate, Word, refuse
from kitsolver.brief.part import Part, key
from kitsolver.craft.colour import DIFFERENCE_UNIT
from kitsolver.craft.fit import Size, fits
from kitsolver.craft.lengths import CM, INCH

# Three inches, for framing (common practice, no source).
USUAL_MARGIN_CM = Decimal("7.62")
_MARGINS = ("margin_cm", "margin_in")


class Fit(Part):
    """Margin, threads a stitch spans, waste, and the tables' overrides."""

    margin_cm: Number | None = key(
        None, "Bare fabric on each side; 7.62 if neither margin is given.", unit="cm", example=5
    )
    margin_in: Number | None = key(
        None, "Bare fabric on each side, in place of `margin_cm`.", unit="in", example=3
    )
    over: Counted = key(
        2, "How many threads a stitch spans on evenweave and linen.", unit="threads", example=2
    )
    waste: Rate = key(
        Decimal("0.20"),
        "The share of thread lost to starts, ends and mistakes.",
        unit="0 to 1",
        example=0.3,
    )
    strands: Counted | None = key(
        None, "Strands in the needle, in place of the usual ones.", unit="strands", example=2
    )
    needles: FrozenDict[Number, NeedleSizes] = key(
        FrozenDict(),
        "Needle sizes by effective count, in place of the usual ones.",
        example={"14": [24, 26]},
    )

    @model_validator(mode="before")
    @classmethod
    def _give_the_usual_margin(cls, data: Any) -> Any:
        if isinstance(data, dict) and all(data.get(key) is None for key in _MARGINS):
            return {**data, "margin_cm": USUAL_MARGIN_CM}
        return data

    @cached_property
    def exact_waste(self) -> Fraction:
        """Share of thread lost."""
        return Fraction(self.waste)

    @cached_property
    def margin(self) -> Fraction:
        """Bare fabric on each side in length units."""
        if self.margin_in is not None:
            return Fraction(self.margin_in) * INCH
        return Fraction(self.margin_cm or 0) * CM

    @cached_property
    def needle_table(self) -> dict[Fraction, frozenset[int]]:
        """Needle sizes that replace the table's, by effective count."""
        return {Fraction(count): frozenset(sizes) for count, sizes in self.needles.items()}


def _two(value: Any) -> Any:
    if not isinstance(value, (list, tuple)) or len(value) != 2:
        raise refuse("is not a list of two sides")
    return value


# Both sides of a rectangle, either way round.
Sides = Annotated[tuple[Positive, Positive], BeforeValidator(_two)]


class FinishedSize(Part):
    """The rectangles that the finished design is within, or contains, each either way round."""

    at_most_cm: Sides | None = key(
        None, "The finished design is within this.", unit="cm", example=[20, 25]
    )
    at_most_in: Sides | None = key(
        None, "The finished design is within this.", unit="in", example=[8, 10]
    )
    at_least_cm: Sides | None = key(
        None, "The finished design contains this.", unit="cm", example=[10, 10]
    )
    at_least_in: Sides | None = key(
        None, "The finished design contains this.", unit="in", example=[4, 4]
    )

    @property
    def asked(self) -> bool:
        """Whether any size is asked for."""
        most, least = (self.at_most_cm, self.at_most_in), (self.at_least_cm, self.at_least_in)
        return most != (None, None) or least != (None, None)

    @property
    def largest(self) -> tuple[Size, ...]:
        """The rectangles that the design is within, in length units."""
        return _sizes((self.at_most_cm, CM), (self.at_most_in, INCH))

    @property
    def smallest(self) -> tuple[Size, ...]:
        """The rectangles that the design contains, in length units."""
        return _sizes((self.at_least_cm, CM), (self.at_least_in, INCH))

    def allows(self, finished: Size) -> bool:
        """Tell whether a finished design is within, and contains, what is asked."""
        return all(fits(finished, room) for room in self.largest) and all(
            fits(least, finished) for least in self.smallest
        )


def _sizes(*given: tuple[Sides | None, int]) -> tuple[Size, ...]:
    return tuple(
        Size(Fraction(sides[0]) * unit, Fraction(sides[1]) * unit)
        for sides, unit in given
        if sides is not None
    )


class Shades(Part):
    """How thread colours are matched to charted colours."""

    mode: Literal["charted", "free"] = key(
        "charted", "Whether threads match the charted colours, or are free.", example="free"
    )
    tolerance: Number = key(
        Decimal("6.0"),
        "The largest difference from the charted colour.",
        unit="CIEDE2000",
        example=4,
    )
    mismatch: Number = key(
        Decimal("5.0"),
        "Points of quality lost for each unit of difference.",
        unit="points",
        example=5,
    )
    contrast: Number = key(
        Decimal(10),
        "How much free colours differ from each other and from the fabric.",
        unit="CIEDE2000",
        example=12,
    )
    keep_values: Flag = key(
        True, "Whether free colours keep the chart's order from dark to light.", example=False
    )
    on_cloth: Number | None = key(
        None,
        "How much shades differ from the fabric's own colour at least.",
        unit="CIEDE2000",
        example=5,
    )
    kinds: FrozenDict[Word, tuple[Word, ...]] = key(
        FrozenDict(),
        "Kinds of thread that will do for a kind, beside the kind itself.",
        example={"metallic": ["cotton"]},
    )
    wish: tuple[Hex, ...] = key((), "Colours that free colours lean towards.", example=["#7fc4c8"])

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


class Lesson(Part):
    """How quickly a class stitches, and for how long at a time."""

    # 50 to 75 crosses an hour for a beginner (fact of the trade, no source).
    stitches_an_hour: Positive = key(
        Decimal(60), "How quickly a head stitches.", unit="crosses an hour", example=75
    )
    minutes: Positive | None = key(
        None, "How long a lesson is; lessons are not counted without it.", unit="min", example=90
    )
    hours_at_most: Positive | None = key(
        None, "The most hours that the design takes one head.", unit="h", example=6
    )
