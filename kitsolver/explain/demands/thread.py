"""Thread: every charted colour is given thread that is near enough to it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import floor
from typing import NamedTuple

import pandas as pd

from kitsolver.brief.brief import Brief
from kitsolver.craft.colour import DIFFERENCE_UNIT, differences
from kitsolver.craft.thread import Charted
from kitsolver.explain.demands.at_home import SHADES_AT_HOME, shades_at_home
from kitsolver.explain.demands.demand import Demand, Easing, easing
from kitsolver.explain.demands.explanation import Conflict, Obstacle, RuleExplanation
from kitsolver.explain.demands.least_change import least_change
from kitsolver.explain.demands.matched import thread_is_matched
from kitsolver.explain.demands.stock import InStock
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.palette import Palette
from kitsolver.solve.candidates.candidate import Chart
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.rules import thread as rule

# Further off than any two colours are.
ANY_DIFFERENCE = "1000"
# Thread that differs by more is another colour to anyone who compares the two (our own choice).
_MOST_TOLERANCE = 10
# A wider tolerance is weighed by what is usual, for a tolerance near 0 may well grow manifold.
_USUAL_TOLERANCE = Decimal(6)
# A shade that has to be at home weighs as much as a tolerance half as wide again.
_SHADE_AT_HOME = 0.5
_TOLERANCE = ("shades", "tolerance")


@dataclass(frozen=True)
class Tolerance(Demand):
    """How near thread is to be to the charted colours."""

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief that takes thread of any colour."""
        return relaxed.with_value(_TOLERANCE, ANY_DIFFERENCE)

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield the least wider tolerance, and the shades that could be at home instead."""
        now = Decimal(relaxed.value(*_TOLERANCE))
        least = max(_least_tolerance(relaxed), floor(now * DIFFERENCE_UNIT) + 1)
        found = least_change(
            relaxed,
            _TOLERANCE,
            range(least, _MOST_TOLERANCE * DIFFERENCE_UNIT + 1),
            form=lambda units: str(Decimal(units) / DIFFERENCE_UNIT),
        )
        if found is not None:
            pain = float((Decimal(found) - now) / max(now, _USUAL_TOLERANCE))
            says = f"let thread differ by up to {found} from the charted colours"
            yield easing(relaxed, _TOLERANCE, found, says, pain)
        closest = _closest_chart(relaxed.candidates)
        if closest is not None:
            colours = [asked.colour for asked in closest.unmatched]
            yield from shades_at_home(relaxed, colours, _SHADE_AT_HOME)


def _least_tolerance(relaxed: RelaxedBrief) -> int:
    """Return the tolerance below which every chart has a colour without thread."""
    catalogue, keep = relaxed.catalogue, relaxed.value("choose", "keep")
    have, home = relaxed.value("needs", "chart", "have"), relaxed.value(*SHADES_AT_HOME)
    palette = Palette([*home, *catalogue.palette.number]) if home else catalogue.palette
    charts = [have["colours"]] if have else _charted(catalogue.shelves.get("chart"), keep)
    drawn = [[part.partition(":")[0] for part in cell.split(";")] for cell in charts]
    if not drawn or not len(palette):
        return 0
    nearest = {colour: palette.nearest(colour) for colour in {c for chart in drawn for c in chart}}
    return min(max(nearest[colour] for colour in chart) for chart in drawn)


def _charted(charts: pd.DataFrame | None, keep: Sequence[str]) -> list[str]:
    """Return the colours of the charts that may be in a kit, a cell each."""
    if charts is None:
        return []
    kept = charts[charts["sku"].isin(keep)]
    return list((charts if kept.empty else kept)["colours"])


class _Unmatched(NamedTuple):
    """A chart, and its colours that no thread is near enough to."""

    chart: Chart
    unmatched: list[Charted]


def _closest_chart(candidates: Candidates) -> _Unmatched | None:
    """Return the chart with the fewest unmatched colours; None if one is matched throughout."""
    if not candidates.near:
        return None
    every = [
        _Unmatched(
            chart,
            [
                asked
                for asked, places in zip(chart.shades or (), candidates.places(chart), strict=True)
                if not places
            ],
        )
        for chart in candidates.charts
    ]
    closest = min(every, key=lambda one: (len(one.unmatched), one.chart.sku), default=None)
    return closest if closest and closest.unmatched else None


def _demands(brief: Brief, _: Catalogue) -> Iterator[Demand]:
    if thread_is_matched(brief) and not brief.shades.free:
        says = f"thread is to be within {brief.shades.tolerance} of the charted colours"
        yield Tolerance("shades.tolerance", says)


def _obstacles(conflict: Conflict) -> Iterator[Obstacle]:
    """Tell of a colour that no thread is near enough to, and of the thread that is nearest."""
    candidates = conflict.alone.candidates
    # What is sold out is told of by the rule of stock.
    closest = None if conflict.has(InStock) else _closest_chart(candidates)
    if closest is None:
        return
    chart, (asked, *_) = closest
    sku, number = chart.sku or "the chart at home", len(candidates.charts)
    if number == 1:
        yield Obstacle(f"{_too_far(asked, candidates)} of {sku}{_nearest(asked, candidates)}")
    else:
        yield Obstacle(
            f"each of {number} charts has a colour that no thread is near enough to; "
            f"{_too_far(asked, candidates)} of {sku}, which comes closest"
            f"{_nearest(asked, candidates)}"
        )


def _too_far(asked: Charted, candidates: Candidates) -> str:
    tolerance = candidates.brief.shades.tolerance
    return f"no {asked.kind} thread that is left is within {tolerance} of {asked.colour}"


def _nearest(asked: Charted, candidates: Candidates) -> str:
    kinds = {asked.kind, *candidates.brief.shades.kinds.get(asked.kind, ())}
    places = [
        (thread.sku, colour)
        for thread in candidates.threads
        if thread.kind in kinds
        for colour in thread.colours
    ]
    if not places:
        return ""
    away = differences([asked.colour], [colour for _, colour in places])[0]
    nearest = int(away.argmin())
    sku, colour = places[nearest]
    distance = f"{int(away[nearest]) / DIFFERENCE_UNIT:.1f}"
    return f" ({sku or 'thread at home'}, {colour}, is {distance} away)"


EXPLANATION = RuleExplanation(
    rule.EnoughThread,
    eases=("shades.tolerance", "needs.*.have"),
    demands=_demands,
    obstacles=_obstacles,
)
