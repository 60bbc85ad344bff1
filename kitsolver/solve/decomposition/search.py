"""The best kit chart by chart: the same answer as the one model, the fast way.

The chart is what ties the rest together. Every chart has an upper bound (`upper_bound.py`), which
its subproblem makes closer (`subproblem.py`). Charts are opened from the highest bound down, for
kits that reach a target: the best first figure found, or one a little below the highest bound
while there is none. Where no kit reaches that, the target is lowered. The proof is done when no
bound is left that reaches the best. Charts that reach it are compared by all figures.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from fractions import Fraction
from heapq import heapify, heappop, heappush
from typing import Any, NamedTuple

import numpy as np

from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.chart_frontier import Breakpoint, best_breakpoint
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.subproblems import Subproblems, with_chart
from kitsolver.solve.decomposition.target import at_goods
from kitsolver.solve.engine import Solver
from kitsolver.solve.figures import bound_by, figures, unit_of, weighed_points
from kitsolver.solve.search_result import Progress, SearchResult
from kitsolver.solve.tally import tally
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

# Targets before a kit is found: so much of the highest bound is given up, then all of it.
GIVEN_UP = (Fraction(1, 1024), Fraction(1, 256), Fraction(1, 64), Fraction(1, 16), Fraction(1))


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
    """Return the proven best selection, or the best found in time; None if there is none.

    Parameters
    ----------
    frontiers : bool
        Whether charts are opened as frontiers where that is the fast way; else each is a model
        for the solver.
    charts : Subproblems, optional
        Of the same candidates, if something is known of them already.
    but : collection of str
        Skus of charts that are passed over.

    Raises
    ------
    OutOfTime, SolverFault
        As `kitsolver.solve.model.questions.best` does.
    """
    if candidates.infeasible:
        return None
    time_limit = time_limit or TimeLimit()
    spendable = candidates.most_goods(candidates.brief.total_cap)
    charts = charts or Subproblems(candidates, spendable, spendable)
    search = _Search(candidates, charts, solver, time_limit, frontiers=frontiers, but=but)
    search.run(progress or (lambda *_: None))
    return search.result()


class _Opened(NamedTuple):
    """An opened chart with the most of its first figure, in weighed points.

    `tops` are the breakpoints of that value, or `peak` is what a solver found where the chart is a
    model; `whole` if it is through all figures already.
    """

    value: Fraction
    candidates: Candidates
    tops: Sequence[Breakpoint] = ()
    peak: SearchResult | None = None
    whole: bool = False

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
        """A selection of that value."""
        return self.peak.selection if self.peak else best_breakpoint(self.tops).selection

    def final(self, solver: Solver, time_limit: TimeLimit) -> SearchResult | None:
        """Return the chart's best selection by all figures."""
        if self.peak and self.whole:
            return self.peak
        if self.peak:
            from kitsolver.solve.model import questions

            return questions.best(self.candidates, solver, time_limit)
        selection = self.selection
        sums = figures(tally(selection, self.candidates), self.candidates)
        return SearchResult(selection, sums, proven=True)


class _Search:
    """Charts from the highest upper bound down, with what was found in those opened."""

    def __init__(
        self,
        candidates: Candidates,
        charts: Subproblems,
        solver: Solver,
        time_limit: TimeLimit,
        *,
        frontiers: bool,
        but: Collection[str],
    ) -> None:
        self.candidates, self.charts = candidates, charts
        self.solver, self.time_limit = solver, time_limit
        self.cap = candidates.brief.total_cap
        self.spendable = candidates.most_goods(self.cap)
        self.bounds = dict(_bounds(candidates, charts, but))
        # Charts whose bound is as close as it gets; all of them where each is a model.
        self.closest = set() if frontiers and not candidates.tied else set(self.bounds)
        self.frontiers = frontiers
        # By number what was found in a chart; None where there is nothing of interest.
        self.opened: dict[int, _Opened | None] = {}
        # The first figure that is looked for.
        self.target: Fraction | None = None
        # No kit goes beyond this.
        self.highest = Fraction(0)
        self.proven = True
        self._queue: list[tuple[float, int]] = []

    @property
    def best(self) -> Fraction | None:
        """The best first figure found."""
        return max((one.value for one in self.opened.values() if one), default=None)

    def run(self, progress: Progress) -> None:
        """Open charts until no bound is left that reaches the best, or time runs out."""
        try:
            for given_up in GIVEN_UP:
                self._open_all(given_up, progress)
                if not self.proven or (self.best is not None and self.best == self.target):
                    return
        except OutOfTime:
            self.proven = False

    def _open_all(self, given_up: Fraction, progress: Progress) -> None:
        """Open the charts whose bounds reach the target."""
        below, self.target = self.target, self.best
        for bound, number in self._from_the_highest():
            # Nothing reached the target before this one.
            self.highest = bound if below is None else min(bound, below)
            if self.target is None:
                self.target = bound * (1 - given_up)
            progress(len(self.opened) + 1, len(self.bounds))
            known = self.opened.get(number)
            if known and known.peak:
                continue
            found = self.opened[number] = self._open(number)
            if found and found.value > self.target:
                self.target = found.value
            if found and found.peak and not found.peak.proven:
                # The charts left do not reach beyond the next bound.
                rest = self.bounds[self._queue[0][1]] if self._queue else Fraction(0)
                self.highest = min(self.highest, max(found.bound, rest))
                self.proven = False
                return

    def _from_the_highest(self) -> Iterator[tuple[Fraction, int]]:
        """Yield charts with their bounds, as close as these get, while they reach the target."""
        # They are sorted in floating point, and those that seem equal to the target are opened.
        queue = self._queue = [(-float(bound), number) for number, bound in self.bounds.items()]
        heapify(queue)
        while queue and (self.target is None or -queue[0][0] >= float(self.target)):
            _, number = heappop(queue)
            if number in self.closest:
                yield self.bounds[number], number
                continue
            self.closest.add(number)
            bound = self._closest(number)
            if bound is None:
                del self.bounds[number]
            else:
                self.bounds[number] = bound
                heappush(queue, (-float(bound), number))

    def _closest(self, number: int) -> Fraction | None:
        """Return a chart's upper bound from its own subproblem; None if no kit holds it."""
        known = self.bounds[number]
        try:
            subproblem = self.charts.subproblem(number, self.spendable, self.time_limit)
        except StateLimitReached:
            return known
        bound = subproblem.upper_bound(self.spendable)
        return None if bound is None else min(bound, known)

    def _open(self, number: int) -> _Opened | None:
        """Open a chart; None if no kit holds it, or none that is of interest."""
        alone = with_chart(self.candidates, self.candidates.charts[number])
        if self.frontiers:
            with suppress(StateLimitReached):
                target = at_goods(self.spendable, self.target or Fraction(0))
                opened = self.charts.chart_frontier(number, self.spendable, target, self.time_limit)
                tops = opened.tops(self.cap)
                return _Opened(tops[0].first, alone, tops=tops) if tops else None
        # A solver takes as long to import as a pick takes that needs none.
        from kitsolver.solve.model import questions

        if alone.many_colours:
            # The first figure by itself takes nearly as long as all of them.
            whole = questions.best(alone, self.solver, self.time_limit)
            if whole is None:
                return None
            return _Opened(weighed_points(whole.selection, alone), alone, peak=whole, whole=True)
        found = questions.peak(without_extras(alone), self.solver, self.time_limit, self.best)
        if found is None:
            return None
        return _Opened(weighed_points(found.selection, alone), alone, peak=found)

    def result(self) -> SearchResult | None:
        """Return the best selection of all charts; None if there is none.

        Raises
        ------
        OutOfTime
            If time ran out before there was one.
        """
        best = self.best
        if not self.proven:
            return self._so_far()
        if best is None:
            return None
        top = [one for one in self.opened.values() if one and one.value == best]
        try:
            found = [one.final(self.solver, self.time_limit) for one in top]
        except OutOfTime:
            self.highest = best
            return self._so_far()
        answers = [answer for answer in found if answer]
        first = min(answers, key=lambda answer: _rank(answer.selection, self.candidates))
        proven = all(answer.proven for answer in answers)
        return replace(first, proven=proven, opened=len(self.opened))

    def _so_far(self) -> SearchResult:
        """Return the best found when time ran out, with the bound on any kit."""
        found = [one for one in self.opened.values() if one]
        if not found:
            raise OutOfTime
        selection = min(
            (one.selection for one in found), key=lambda found: _rank(found, self.candidates)
        )
        highest = max(self.highest, *(one.value for one in found))
        bound = bound_by(highest, self.candidates)
        return SearchResult(selection, bound, proven=False, opened=len(self.opened))


def _bounds(
    candidates: Candidates, charts: Subproblems, but: Collection[str]
) -> Iterator[tuple[int, Fraction]]:
    """Yield the charts that a kit may hold, by number, with their upper bounds."""
    upper_bounds = charts.upper_bounds
    at = upper_bounds.at(candidates.most_goods(candidates.brief.total_cap))
    for number in np.flatnonzero(at >= 0).tolist():
        if candidates.charts[number].sku not in but:
            yield number, upper_bounds.figure(at[number], number)


def without_extras(candidates: Candidates) -> Candidates:
    """Leave the extras out where they can do nothing for the first figure."""
    brief = candidates.brief
    kept = any(extra.sku in brief.choose.keep for extra in candidates.extras)
    useful = brief.extras.together or kept or brief.exact_till.has_gap
    return candidates if useful else replace(candidates, extras=())


def _rank(selection: Selection, candidates: Candidates) -> tuple[Any, ...]:
    """Return what kits are compared by, with the tie-break: less is better."""
    sums = tally(selection, candidates)
    before, unpaid, after = figures(sums, candidates).order
    ties = sorted(sums.units.items()), [place.key for place in selection.places]
    return tuple(-figure for figure in before), -unpaid, -after, *ties
