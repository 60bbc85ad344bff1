"""What is at home, as far as the brief describes it: held to the rules like goods."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Any, Literal

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Discriminator,
    Tag,
    model_validator,
)

from kitsolver.brief.numbers import Counted, Hex, Positive, as_list, refuse, whole
from kitsolver.craft.fit import Size
from kitsolver.craft.lengths import CM, INCH
from kitsolver.craft.thread import Charted
from kitsolver.shop.catalogue_findings import RepeatedChartColour
from kitsolver.shop.cells import Refused, chart_colours
from kitsolver.shop.charted import charted

NeedleSizes = Annotated[
    tuple[Annotated[int, BeforeValidator(whole)], ...], BeforeValidator(as_list)
]


class Part(BaseModel):
    """A table of a brief: frozen, and unknown keys are refused."""

    # Only the brief itself needs a validator of its own, and building each takes a while.
    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)


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

    stitches_wide: Counted | None = None
    stitches_high: Counted | None = None
    colours: Annotated[str, AfterValidator(_charted)] | None = None

    @model_validator(mode="after")
    def _check(self) -> HomeChart:
        if (self.stitches_wide is None) != (self.stitches_high is None):
            raise refuse("needs both stitches_wide and stitches_high, or neither")
        return self

    @property
    def shades(self) -> tuple[Charted, ...] | None:
        """What each colour asks, in chart order; None where not described."""
        return None if self.colours is None else charted(self.colours)


class HomeFabric(Part):
    """A piece of fabric at home."""

    weave: Literal["aida", "evenweave", "linen"] | None = None
    count: Positive | None = None
    width_cm: Positive | None = None
    height_cm: Positive | None = None
    width_in: Positive | None = None
    height_in: Positive | None = None
    colours: Hex | None = None

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

    needle_sizes: NeedleSizes


class HomeHoop(Part):
    """A hoop at home."""

    diameter_cm: Positive | None = None
    diameter_in: Positive | None = None

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
# How errors inside `have` name the form; no key of the brief.
FORMS = frozenset({"flag", "listed", "described"})
ChartAtHome = Annotated[Flagged | Annotated[HomeChart, Tag("described")], AtHome]
FabricAtHome = Annotated[Flagged | Annotated[HomeFabric, Tag("described")], AtHome]
NeedleAtHome = Annotated[Flagged | Annotated[HomeNeedle, Tag("described")], AtHome]
HoopAtHome = Annotated[Flagged | Annotated[HomeHoop, Tag("described")], AtHome]
ThreadAtHome = Annotated[Flagged | Annotated[tuple[Hex, ...], Tag("listed")], AtHome]
