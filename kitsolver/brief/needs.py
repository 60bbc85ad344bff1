"""The needs: how the one choice of each category is made, and what of it is at home."""

from __future__ import annotations

from decimal import Decimal

from pydantic import ConfigDict

from kitsolver.brief.at_home import (
    ChartAtHome,
    FabricAtHome,
    HoopAtHome,
    NeedleAtHome,
    ThreadAtHome,
)
from kitsolver.brief.conditions import Conditions
from kitsolver.brief.frozen import FrozenDict
from kitsolver.brief.numbers import Counted, Flag, Number, Word
from kitsolver.brief.part import Part, key

DEFAULT_NEEDS = ("chart", "fabric", "thread", "needle", "scissors")


class Need(Conditions):
    """How the one choice of a category is made."""

    weight: Number = key(Decimal(1), "How much this need counts in quality.", example=2)
    score: FrozenDict[Word, Number] = key(
        FrozenDict(),
        "Weights of columns whose mean takes the place of quality.",
        example={"quality": 1, "softness": 0.5},
    )
    range: FrozenDict[Word, tuple[Number, Number]] = key(
        FrozenDict(),
        "The ends between which a scored column counts 0 to 100.",
        example={"softness": [0, 10]},
    )
    shared_by: Counted = key(1, "How many heads share one.", unit="heads", example=3)
    have: Flag = key(
        False, "Whether the need is met at home: it is neither bought nor scored.", example=True
    )


# What may be described widens `have`: unsafe, mypy says, for values that change. These do not.


class ChartNeed(Need):
    """The chart, which may be at home and described."""

    have: ChartAtHome = key(  # type: ignore[assignment]
        False,
        "Whether the chart is at home, or what is known of it.",
        example={"stitches_wide": 56, "stitches_high": 77},
    )


class FabricNeed(Need):
    """The fabric, which may be at home and described."""

    have: FabricAtHome = key(  # type: ignore[assignment]
        False,
        "Whether the fabric is at home, or what is known of it: one piece.",
        example={"weave": "aida", "count": 14, "width_cm": 36, "height_cm": 43},
    )


class ThreadNeed(Need):
    """The thread; single shades may be at home."""

    have: ThreadAtHome = key(  # type: ignore[assignment]
        False,
        "Whether the thread is at home, or the shades that are.",
        example=["#e8e0c8", "#7fc4c8"],
    )


class NeedleNeed(Need):
    """The needle, which may be at home and described."""

    have: NeedleAtHome = key(  # type: ignore[assignment]
        False,
        "Whether a needle is at home, or which sizes are.",
        example={"needle_sizes": [26]},
    )


class HoopNeed(Need):
    """A hoop that is asked for, which may be at home and described."""

    have: HoopAtHome = key(  # type: ignore[assignment]
        False, "Whether a hoop is at home, or how wide it is.", example={"diameter_cm": 15}
    )


class Needs(Part):
    """One table a need; categories without rules of their own are read as `Need`."""

    model_config = ConfigDict(frozen=True, extra="allow", defer_build=True)
    __pydantic_extra__: dict[str, Need]

    chart: ChartNeed | None = key(None, "How the chart is chosen.", example={"max_price": "4.00"})
    fabric: FabricNeed | None = key(None, "How the fabric is chosen.", example={"weight": 2})
    thread: ThreadNeed | None = key(None, "How the thread is chosen.", example={"shared_by": 2})
    needle: NeedleNeed | None = key(None, "How the needle is chosen.", example={"have": True})
    hoop: HoopNeed | None = key(
        None, "How the hoop is chosen, if it is a need.", example={"min_quality": 50}
    )
