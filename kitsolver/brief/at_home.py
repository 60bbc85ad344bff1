"""What the brief describes as being at home; the rules hold for it as for goods."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Any, Literal

from pydantic import (
    AfterValidator,
    BeforeValidator,
    Discriminator,
    Tag,
    model_validator,
)

from kitsolver.brief.numbers import Counted, Hex, Positive, as_list, refuse, whole
from kitsolver.brief.part import Part, key
from kitsolver.craft.fit import Size
from kitsolver.craft.lengths import CM, INCH
from kitsolver.craft.thread import Charted
from kitsolver.shop.catalogue_findings import RepeatedChartColour
from kitsolver.shop.cell_faults import Refused
from kitsolver.shop.columns.cells import chart_colours
from kitsolver.shop.columns.charted import charted

NeedleSizes = Annotated[
    tuple[Annotated[int, BeforeValidator(whole)], ...], BeforeValidator(as_list)
]


def _units(length: Any, unit: int) -> Fraction:
    return Fraction(length) * unit


def _charted(colours: str) -> str:
    try:
        return chart_colours(colours)
    except Refused as refused:
        if any(fault.kind is RepeatedChartColour for fault in refused.faults):
            raise refuse("lists a colour twice") from None
        raise refuse("is not written as #rrggbb:stitches parted by semicolons") from None


class HomeChart(Part):
    """A chart at home."""

    stitches_wide: Counted | None = key(
        None, "The width of the design.", unit="stitches", example=56
    )
    stitches_high: Counted | None = key(
        None, "The height of the design.", unit="stitches", example=77
    )
    colours: Annotated[str, AfterValidator(_charted)] | None = key(
        None,
        "The chart's colours with their stitches, and with centimetres of backstitch if there is.",
        example="#e8e0c8:620;#7fc4c8:415:12.5",
    )

    @model_validator(mode="after")
    def _check(self) -> HomeChart:
        if (self.stitches_wide is None) != (self.stitches_high is None):
            raise refuse("needs both stitches_wide and stitches_high, or neither")
        return self

    @property
    def shades(self) -> tuple[Charted, ...] | None:
        """The colours in chart order; None where they are not described."""
        return None if self.colours is None else charted(self.colours)


class HomeFabric(Part):
    """A piece of fabric at home."""

    weave: Literal["aida", "evenweave", "linen"] | None = key(
        None, "The weave, which decides the effective count.", example="aida"
    )
    count: Positive | None = key(None, "The count.", unit="threads per inch", example=14)
    width_cm: Positive | None = key(None, "The width of the piece.", unit="cm", example=36)
    height_cm: Positive | None = key(None, "The height of the piece.", unit="cm", example=43)
    width_in: Positive | None = key(None, "The width of the piece.", unit="in", example=14)
    height_in: Positive | None = key(None, "The height of the piece.", unit="in", example=17)
    colours: Hex | None = key(None, "The fabric's own colour.", example="#fdfdfb")

    @model_validator(mode="after")
    def _check(self) -> HomeFabric:
        given = {key for key in _SIDES if getattr(self, key) is not None}
        if given not in (set(), {"width_cm", "height_cm"}, {"width_in", "height_in"}):
            raise refuse("needs width and height in one unit, or neither")
        return self

    @property
    def size(self) -> Size | None:
        """Width and height in length units; None where not described."""
        if self.width_cm is not None:
            return Size(_units(self.width_cm, CM), _units(self.height_cm, CM))
        if self.width_in is not None:
            return Size(_units(self.width_in, INCH), _units(self.height_in, INCH))
        return None


class HomeNeedle(Part):
    """Needles at home."""

    needle_sizes: NeedleSizes = key(..., "The tapestry sizes.", example=[24, 26])


class HomeHoop(Part):
    """A hoop at home."""

    diameter_cm: Positive | None = key(None, "The inner diameter.", unit="cm", example=15)
    diameter_in: Positive | None = key(None, "The inner diameter.", unit="in", example=6)

    @model_validator(mode="after")
    def _check(self) -> HomeHoop:
        if (self.diameter_cm is None) == (self.diameter_in is None):
            raise refuse("needs one of diameter_cm and diameter_in")
        return self

    @property
    def diameter(self) -> Fraction:
        """Diameter in length units."""
        if self.diameter_cm is not None:
            return _units(self.diameter_cm, CM)
        return _units(self.diameter_in, INCH)


_SIDES = ("width_cm", "height_cm", "width_in", "height_in")


def _form(value: Any) -> str:
    if isinstance(value, bool):
        return "flag"
    return "listed" if isinstance(value, (list, tuple)) else "described"


Flagged = Annotated[bool, Tag("flag")]
AtHome = Discriminator(
    _form, custom_error_type="bad-value", custom_error_message="cannot be described so"
)
# The words by which pydantic names the forms of `have` in errors; they are no keys of a brief.
FORMS = frozenset({"flag", "listed", "described"})
ChartAtHome = Annotated[Flagged | Annotated[HomeChart, Tag("described")], AtHome]
FabricAtHome = Annotated[Flagged | Annotated[HomeFabric, Tag("described")], AtHome]
NeedleAtHome = Annotated[Flagged | Annotated[HomeNeedle, Tag("described")], AtHome]
HoopAtHome = Annotated[Flagged | Annotated[HomeHoop, Tag("described")], AtHome]
ThreadAtHome = Annotated[Flagged | Annotated[tuple[Hex, ...], Tag("listed")], AtHome]
