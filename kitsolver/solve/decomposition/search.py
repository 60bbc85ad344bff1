"""The best kit chart by chart: the same answer as the one model, the fast way.

The chart is what ties the rest together. Every chart has a ceiling (``ceiling.py``); charts are
opened from the highest ceiling down (``opened.py``) until no ceiling left reaches the best first
figure found. Charts that reach it go through all figures.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from contextlib import suppress
from dataclasses import replace
from fractions import Fraction
from typing import Any, NamedTuple

import numpy as np

from kitsolver.shop.till import NO_CAP
from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.chart_frontier import Breakpoint, best_breakpoint, chart_frontier
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.subproblems import Subproblems, with_chart
from kitsolver.solve.decomposition.upper_bound import goods_lower_bounds
from kitsolver.solve.engine import Solver
from kitsolver.solve.figures import bound_by, figures, unit_of, weighed_points
from kitsolver.solve.search_result import Progress, SearchResult
from kitsolver.solve.tally import tally
from kitsolver.solve.time_limit import OutOfTime, TimeLimit


def by_chart(
    candidates: Candidates,
    solver: Solver = Solver.SCIP,
    time_limit: TimeLimit | None = None,
    progress: Progress | None = None,
    *,
    frontiers: bool = True,
    charts: Subproblems | None = None,
    but: Collection[str] = (),
) -> SearchResult | None:
    """Return the proven best choice, or the best found in time; None if there is none.

    Parameters
    ----------
    frontiers : bool
        Whether charts are opened by staircases where these are the fast way; else each is a model
        for the solver.
    charts : Subproblems, optional
        Of the same offers, if something is known of them already.
    but : collection of str
        Skus of charts that are passed over.

    Raises
    ------
    OutOfTime, SolverFault
        As `kitsolver.solve.model.questions.best` does.
    """
    if candidates.infeasible:
        return None
    time_limit, progress = time_limit or TimeLimit(), progress or (lambda *_: None)
    if charts is None:
        spendable = candidates.most_goods(candidates.brief.total_cap)
        charts = Subproblems(candidates, spendable, spendable)
    order = _by_ceiling(candidates, charts, but)
    solved: list[_Solved] = []
    top: Fraction | None = None
    number = 0
    for upper_bound, which in order:
        # In floating point as they are sorted; equal ones are opened.
        if top is not None and float(upper_bound) < float(top):
            break
        number += 1
        progress(number, len(order))
        try:
            best_of_chart = _open(
                charts if frontiers else None, candidates, which, top, solver, time_limit
            )
        except OutOfTime:
            return _so_far(solved, upper_bound, candidates, number)
        if best_of_chart is None:
            continue
        solved.append(best_of_chart)
        top = best_of_chart.value if top is None else max(top, best_of_chart.value)
        if not best_of_chart.proven:
            # The charts left do not reach beyond the next ceiling, nor this one beyond its bound.
            rest = order[number][0] if number < len(order) else Fraction(0)
            highest = min(upper_bound, max(best_of_chart.bound, rest))
            return _so_far(solved, highest, candidates, number)
    try:
        finals = [_final(one, solver, time_limit) for one in solved if one.value == top]
    except OutOfTime:
        return _so_far(solved, top or Fraction(0), candidates, number)
    answers = [found for found in finals if found]
    if not answers:
        return None
    first = min(answers, key=lambda found: _rank(found.selection, candidates))
    return replace(first, proven=all(found.proven for found in answers), opened=number)


class _Solved(NamedTuple):
    """An opened chart with the most of its first figure, in weighed points.

    `tops` are the steps of that value, or `peak` is what a solver found where staircases are not
    the way; `whole` if it is through all figures already.
    """

    value: Fraction
    candidates: Candidates
    tops: Sequence[Breakpoint] = ()
    peak: SearchResult | None = None
    whole: bool = False

    @property
    def proven(self) -> bool:
        """Whether the value is."""
        return self.peak is None or self.peak.proven

    @property
    def bound(self) -> Fraction:
        """What no kit with the chart beats, in weighed points."""
        if self.peak is None:
            return self.value
        bound = self.peak.bound
        most = bound.quality if bound.together is None else bound.together
        return max(self.value, most * unit_of(self.candidates))

    @property
    def selection(self) -> Selection:
        """A choice of that value."""
        return self.peak.selection if self.peak else best_breakpoint(self.tops).selection


def _by_ceiling(
    candidates: Candidates, charts: Subproblems, but: Collection[str]
) -> list[tuple[Fraction, int]]:
    """Return the numbers of charts that a kit may hold with their ceilings, the highest first."""
    upper_bounds = charts.upper_bounds
    at = upper_bounds.at(candidates.most_goods(candidates.brief.total_cap))
    possible = [n for n in np.flatnonzero(at >= 0).tolist() if candidates.charts[n].sku not in but]
    order = [(upper_bounds.figure(at[number], number), number) for number in possible]
    return sorted(order, key=lambda pair: (-float(pair[0]), pair[1]))


def _open(
    charts: Subproblems | None,
    candidates: Candidates,
    number: int,
    at_least: Fraction | None,
    solver: Solver,
    time_limit: TimeLimit,
) -> _Solved | None:
    """Open a chart; None if no kit holds it, or none that is of interest."""
    alone = with_chart(candidates, candidates.charts[number])
    cap = alone.brief.total_cap
    if charts:
        with suppress(StateLimitReached):
            tops = charts.chart_frontier(number, alone.most_goods(cap), time_limit).tops(cap)
            return _Solved(tops[0].first, alone, tops=tops) if tops else None
    # A solver takes as long to import as a pick takes that needs none.
    from kitsolver.solve.model import questions

    if alone.many_colours:
        # The first figure by itself takes nearly as long as all of them.
        whole = questions.best(alone, solver, time_limit)
        if whole is None:
            return None
        return _Solved(weighed_points(whole.selection, alone), alone, peak=whole, whole=True)
    found = questions.peak(_lean(alone), solver, time_limit, at_least)
    if found is None:
        return None
    return _Solved(weighed_points(found.selection, alone), alone, peak=found)


def _final(best_of_chart: _Solved, solver: Solver, time_limit: TimeLimit) -> SearchResult | None:
    """Take a best_of_chart through all figures."""
    if best_of_chart.peak and best_of_chart.whole:
        return best_of_chart.peak
    if best_of_chart.peak:
        from kitsolver.solve.model import questions

        return questions.best(best_of_chart.candidates, solver, time_limit)
    selection = best_of_chart.selection
    return SearchResult(
        selection,
        figures(tally(selection, best_of_chart.candidates), best_of_chart.candidates),
        proven=True,
    )


def least_payable(
    candidates: Candidates, solver: Solver, time_limit: TimeLimit, *, enough: int = -1
) -> int | None:
    """Return the least that is paid for any kit, whatever the cap; None if there is none.

    Parameters
    ----------
    enough : int
        In minor units: no kit is looked for that comes to less than one that comes to this.

    Raises
    ------
    OutOfTime, SolverFault
        As `kitsolver.solve.model.questions.best` does.
    """
    if candidates.infeasible:
        return None
    order = [
        (candidates.least_paid(floor), chart)
        for floor, chart in zip(goods_lower_bounds(candidates), candidates.charts, strict=True)
        if floor is not None
    ]
    order.sort(key=lambda pair: (pair[0], pair[1].sku))
    least: int | None = None
    for bound, chart in order:
        if least is not None and (least <= enough or bound >= least):
            break
        paid = _least_paid(with_chart(candidates, chart), solver, time_limit)
        least = min((p for p in (paid, least) if p is not None), default=None)
    return least


def _least_paid(alone: Candidates, solver: Solver, time_limit: TimeLimit) -> int | None:
    lean, till = _lean(alone), alone.brief.register
    worthless = replace(
        lean,
        weights=dict.fromkeys(lean.weights, 0),
        extras=tuple(replace(extra, points=0) for extra in lean.extras),
    )
    try:
        # The cheapest goods; and where these are not delivered free, dearer ones that may be.
        kits = [chart_frontier(worthless, NO_CAP, time_limit, gap=False)]
        goods, paid = min(
            ((step.cost, step.paid) for step in kits[0].steps(NO_CAP)), default=(0, 0)
        )
        if goods < till.free_from <= till.most_goods(paid):
            kits.append(chart_frontier(worthless, till.most_goods(paid), time_limit))
    except StateLimitReached:
        from kitsolver.solve.model import questions

        found = questions.cheapest(lean, solver, time_limit)
        if found is not None and not found.proven:
            raise OutOfTime from None
        return found.bound.payable if found else None
    return min((step.paid for each in kits for step in each.steps(NO_CAP)), default=None)


def _lean(candidates: Candidates) -> Candidates:
    """Leave the extras out where they can do nothing for the first figure."""
    brief = candidates.brief
    kept = any(extra.sku in brief.choose.keep for extra in candidates.extras)
    useful = brief.extras.together or kept or brief.register.has_gap
    return candidates if useful else replace(candidates, extras=())


def _so_far(
    solved: list[_Solved], upper_bound: Fraction, candidates: Candidates, number: int
) -> SearchResult:
    """Return the best found when time ran out at a chart of this ceiling, the highest left."""
    if not solved:
        raise OutOfTime
    selection = min(
        (one.selection for one in solved), key=lambda selection: _rank(selection, candidates)
    )
    highest = max(upper_bound, *(one.value for one in solved))
    return SearchResult(selection, bound_by(highest, candidates), proven=False, opened=number)


def _rank(selection: Selection, candidates: Candidates) -> tuple[Any, ...]:
    """Return what kits are compared by, ties broken: less is better."""
    sums = tally(selection, candidates)
    before, unpaid, after = figures(sums, candidates).order
    ties = sorted(sums.units.items()), [place.key for place in selection.places]
    return tuple(-figure for figure in before), -unpaid, -after, *ties
