"""Thread: every charted colour is given thread that is near enough to it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import floor
from typing import NamedTuple

import numpy as np

from kitsolver.brief.brief import Brief
from kitsolver.craft.colour import DIFFERENCE_UNIT, differences
from kitsolver.craft.thread import Charted
from kitsolver.explain.demands.at_home import SHADES_AT_HOME, shades_at_home
from kitsolver.explain.demands.competing_colours import Competing, competing
from kitsolver.explain.demands.demand import Demand, Easing, easing
from kitsolver.explain.demands.explanation import Conflict, Obstacle, RuleExplanation
from kitsolver.explain.demands.least_change import least_change
from kitsolver.explain.demands.matched import thread_is_matched
from kitsolver.explain.demands.stock import InStock
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.explain.wording import listed
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.palette import Palette
from kitsolver.shop.row_table import RowTable
from kitsolver.solve.candidates.candidate import Chart, Thread
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.least_tolerance import least_tolerance
from kitsolver.solve.rules import thread as rule

# Further off than any two colours are.
ANY_DIFFERENCE = "1000"
# Thread that differs by more is another colour to anyone who compares the two (our own choice).
_MOST_TOLERANCE = 10
# A wider tolerance is weighed by what is usual, for a tolerance near 0 may well grow manifold.
_USUAL_TOLERANCE = Decimal(6)
# A shade that has to be at home weighs more than a demand that is given up: not all have it.
_SHADE_AT_HOME = 1.1
_TOLERANCE = ("shades", "tolerance")
# Where the search for the nearest thread begins, in ten-thousandths of CIEDE2000.
_NEAR = DIFFERENCE_UNIT // 100
# Of no more charts than this every difference of a thread is looked at.
_FEW_CHARTS = 8


@dataclass(frozen=True)
class Tolerance(Demand):
    """How near thread is to be to the charted colours."""

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief that takes thread of any colour."""
        return relaxed.with_value(_TOLERANCE, ANY_DIFFERENCE)

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield the least wider tolerance, and the shades that could be at home instead."""
        now = Decimal(relaxed.value(*_TOLERANCE))
        found = least_change(
            relaxed,
            _TOLERANCE,
            _wider(relaxed, floor(now * DIFFERENCE_UNIT)),
            form=lambda units: str(Decimal(units) / DIFFERENCE_UNIT),
        )
        if found is not None:
            pain = float((Decimal(found) - now) / max(now, _USUAL_TOLERANCE))
            says = f"let thread differ by up to {found} from the charted colours"
            yield easing(relaxed, _TOLERANCE, found, says, pain)
        closest = _closest_chart(relaxed)
        if closest is not None:
            yield from shades_at_home(relaxed, closest.colours, _SHADE_AT_HOME)


def _wider(relaxed: RelaxedBrief, now: int) -> Sequence[int]:
    """Return wider tolerances, in ten-thousandths, of which one is the least that gives a kit."""
    most = _MOST_TOLERANCE * DIFFERENCE_UNIT
    drawn, palette = _to_match(relaxed)
    if not drawn or not len(palette):
        return range(now + 1, most + 1)
    if len(drawn) <= _FEW_CHARTS:
        # A kit comes with a tolerance that is the difference of a thread.
        each = sorted({colour for chart in drawn for colour in chart})
        far = np.concatenate([far for _, far in palette.near_each(each, most)])
        least = max(now + 1, _least_of_one_chart(relaxed))
        return [int(units) for units in np.unique(far[far >= least])]
    return range(max(_least_tolerance(drawn, palette), now + 1), most + 1)


def _least_of_one_chart(relaxed: RelaxedBrief) -> int:
    """Return a tolerance below which there is no kit, where there is one chart; else 0."""
    widest = relaxed.with_value(_TOLERANCE, str(_MOST_TOLERANCE))
    candidates = widest.affordable
    lone = len(candidates.charts) == 1 and candidates.near and not candidates.tied
    if relaxed.may_be_bought or not lone:
        return 0
    least = least_tolerance(candidates, widest.most_goods, relaxed.oracle.time_limit)
    # No wider one is told of.
    return _MOST_TOLERANCE * DIFFERENCE_UNIT + 1 if least is None else least


def _to_match(relaxed: RelaxedBrief) -> tuple[list[list[str]], Palette]:
    """Return the colours of the charts that may be in a kit, and all colours of thread."""
    catalogue, keep = relaxed.catalogue, relaxed.value("choose", "keep")
    have, home = relaxed.value("needs", "chart", "have"), relaxed.value(*SHADES_AT_HOME)
    palette = Palette([*home, *catalogue.palette.number]) if home else catalogue.palette
    charts = [have["colours"]] if have else _charted(catalogue.rows.get("chart"), keep)
    return [[part.partition(":")[0] for part in cell.split(";")] for cell in charts], palette


def _least_tolerance(drawn: Sequence[Sequence[str]], palette: Palette) -> int:
    """Return the tolerance below which every chart has a colour without thread."""
    # All other charts have a colour that is further off.
    matched: list[list[int]] = []
    within = _NEAR
    while not matched:
        within *= 4
        each = sorted({colour for chart in drawn for colour in chart})
        near = zip(each, palette.near_each(each, within), strict=True)
        nearest = {colour: int(far.min()) for colour, (_, far) in near if len(far)}
        matched = [
            [nearest[colour] for colour in chart]
            for chart in drawn
            if all(colour in nearest for colour in chart)
        ]
    return min(map(max, matched))


def _charted(charts: RowTable | None, keep: Sequence[str]) -> list[str]:
    """Return the colours of the charts that may be in a kit, a cell each."""
    if charts is None:
        return []
    kept = charts["colours"][charts.having("sku", keep)]
    return list(kept if len(kept) else charts["colours"])


class _Unmatched(NamedTuple):
    """A chart, and what its colours lack.

    `bare` are the colours that no thread is near enough to; where there are none, `competing` are
    colours that have too few places between them.
    """

    chart: Chart
    bare: list[Charted]
    competing: Competing | None = None

    @property
    def colours(self) -> list[str]:
        """Colours that lack thread, as many as do."""
        if self.competing is None:
            return [asked.colour for asked in self.bare]
        shades = self.chart.shades or ()
        return [shades[number].colour for number in self.competing.left_over]


def _closest_chart(relaxed: RelaxedBrief) -> _Unmatched | None:
    """Return the chart with the fewest colours that lack thread; None if one has all of it."""
    if relaxed.known_to_have_kit:
        return None
    seen = relaxed.best_matched
    if seen is None or not (seen.bare or seen.ample):
        return _closest_of(relaxed.candidates)
    return _Unmatched(seen.chart, seen.bare) if seen.bare else None


def _closest_of(candidates: Candidates) -> _Unmatched | None:
    if not candidates.near:
        return None
    bare = [
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
    fewest = min((len(one.bare) for one in bare), default=0)
    if fewest:
        return min(bare, key=lambda one: (len(one.bare), one.chart.sku))
    found: list[_Unmatched] = []
    for one in bare:
        choices = [[place.key for place in places] for places in candidates.places(one.chart)]
        short = None if one.bare else competing(choices)
        if short is None and not one.bare:
            return None
        if short is not None:
            found.append(one._replace(competing=short))
    return min(found, key=lambda one: (len(one.colours), one.chart.sku), default=None)


def _demands(brief: Brief, _: Catalogue) -> Iterator[Demand]:
    if thread_is_matched(brief) and not brief.shades.free:
        says = f"thread is to be within {brief.shades.tolerance} of the charted colours"
        yield Tolerance("shades.tolerance", says)


def _obstacles(conflict: Conflict) -> Iterator[Obstacle]:
    """Tell of a colour that no thread is near enough to, and of the thread that is nearest."""
    alone = conflict.alone
    # What is sold out is told of by the rule of stock.
    closest = None if conflict.has(InStock) else _closest_chart(alone)
    if closest is None:
        return
    sku, number = closest.chart.sku or "the chart at home", alone.number_of("chart")
    if closest.competing is not None:
        says = _competing(closest, sku)
    else:
        asked = closest.bare[0]
        says = _too_far(asked, sku, alone)
    if number > 1:
        says = f"each of {number} charts lacks thread; the closest is {sku}: {says}"
    yield Obstacle(says, {"thread": True})


def _competing(closest: _Unmatched, sku: str) -> str:
    if closest.competing is None:
        return ""
    shades = closest.chart.shades or ()
    colours = [shades[number].colour for number in closest.competing.colours]
    places = closest.competing.places
    many = "only one colour of thread" if places == 1 else f"only {places} colours of thread"
    return f"{listed(colours)} of {sku} have {many} near enough between them"


def _too_far(asked: Charted, sku: str, relaxed: RelaxedBrief) -> str:
    """Return that no thread is near enough to a colour, and which is nearest."""
    shades = relaxed.now.shades
    kinds = {asked.kind, *shades.kinds.get(asked.kind, ())}
    places = [
        (thread.sku, colour)
        for thread in relaxed.meeting("thread")
        if isinstance(thread, Thread) and thread.kind in kinds
        for colour in thread.colours
    ]
    if not places:
        return f"no {asked.kind} thread is left for {asked.colour} of {sku}"
    away = differences([asked.colour], [colour for _, colour in places])[0]
    nearest = int(away.argmin())
    thread, colour = places[nearest]
    return (
        f"no {asked.kind} thread that is left is within {shades.tolerance} of {asked.colour} of "
        f"{sku} ({thread or 'thread at home'}, {colour}, is {away[nearest] / DIFFERENCE_UNIT:.1f} "
        "away)"
    )


EXPLANATION = RuleExplanation(
    rule.EnoughThread,
    eases=("shades.tolerance", "needs.*.have"),
    demands=_demands,
    obstacles=_obstacles,
)
