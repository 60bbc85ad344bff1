"""The best kit chart by chart: the same answer as the one model, the fast way.

The chart is what ties the rest together. Every chart has an upper bound (`upper_bound.py`), which
its subproblem makes closer (`subproblem.py`). The chart with the highest bound is opened for kits
that come within a step of it, or reach the best first figure found. If none does, the chart's
bound falls to what was looked for, and its next step is twice as long. The proof is done when no
bound is left that reaches the best. Charts that reach it are compared by all figures.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from fractions import Fraction
from heapq import heapify, heappop, heappush
from typing import Any

import numpy as np

from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.branches import branches
from kitsolver.solve.decomposition.chart_frontier import best_breakpoint
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.opened_chart import OpenedChart, kept, without_extras
from kitsolver.solve.decomposition.subproblems import Subproblems, with_chart
from kitsolver.solve.decomposition.target import at_goods
from kitsolver.solve.engine import Solver
from kitsolver.solve.figures import bound_by, figures, outer_bound, weighed_points
from kitsolver.solve.search_result import Progress, SearchResult
from kitsolver.solve.tally import tally
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

# The first step below a chart's bound is this part of it.
_STEP = Fraction(1, 2048)


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
    parts = branches(candidates) if frontiers else None
    if parts is not None:
        return _best_of_branches(candidates, parts, solver, time_limit, progress, but)
    spendable = candidates.most_goods(candidates.brief.total_cap)
    charts = charts or Subproblems(candidates, spendable, spendable)
    return _searched(candidates, charts, solver, time_limit, progress, frontiers, but)


def _searched(
    candidates: Candidates,
    charts: Subproblems,
    solver: Solver,
    time_limit: TimeLimit,
    progress: Progress | None,
    frontiers: bool,
    but: Collection[str],
) -> SearchResult | None:
    search = _Search(candidates, charts, solver, time_limit, frontiers=frontiers, but=but)
    search.run(progress or (lambda *_: None))
    return search.result()


def _best_of_branches(
    candidates: Candidates,
    parts: Sequence[Candidates],
    solver: Solver,
    time_limit: TimeLimit,
    progress: Progress | None,
    but: Collection[str],
) -> SearchResult | None:
    """Return the best selection of all branches; None if there is none."""
    spendable = candidates.most_goods(candidates.brief.total_cap)
    found, late = list[SearchResult](), False
    for part in parts:
        charts = Subproblems(part, spendable, spendable)
        try:
            answer = _searched(part, charts, solver, time_limit, progress, True, but)
        except OutOfTime:
            late = True
            continue
        if answer is not None:
            found.append(answer)
    if not found:
        if late:
            raise OutOfTime
        return None
    first = min(found, key=lambda answer: _rank(answer.selection, candidates))
    opened = min(len(candidates.charts), sum(answer.opened for answer in found))
    if late or not all(answer.proven for answer in found):
        bounds = [answer.bound for answer in found]
        bound = max(bounds, key=lambda figures: figures.order)
        bound = outer_bound(candidates) if late else bound
        return replace(first, bound=bound, proven=False, opened=opened)
    return replace(first, opened=opened)


class RuleBroken(Exception):
    """The best kit of a frontier breaks a rule that frontiers do not know; others may keep it."""


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
        by_frontiers = frontiers and candidates.relaxed_by_frontiers
        self.closest = set() if by_frontiers else set(self.bounds)
        self.frontiers = frontiers
        # By number what was found in a chart; None where there is nothing of interest.
        self.opened: dict[int, OpenedChart | None] = {}
        self.steps = {number: bound * _STEP for number, bound in self.bounds.items()}
        # They are sorted in floating point, and those that seem equal to the best are opened.
        self.queue = [(-float(bound), number) for number, bound in self.bounds.items()]
        heapify(self.queue)
        self.best: Fraction | None = None
        self.proven = True

    @property
    def highest(self) -> Fraction:
        """What no kit goes beyond."""
        rest = self.bounds[self.queue[0][1]] if self.queue else Fraction(0)
        return max(rest, self.best or Fraction(0))

    def run(self, progress: Progress) -> None:
        """Open charts until no bound is left that reaches the best, or time runs out."""
        best = float("-inf")
        while self.proven and self.queue and -self.queue[0][0] >= best:
            _, number = self.queue[0]
            try:
                if number not in self.closest:
                    self.closest.add(number)
                    bound = self._closest(number)
                else:
                    progress(len(self.opened) + 1, len(self.bounds))
                    bound = self._open(number)
            except OutOfTime:
                self.proven = False
                return
            heappop(self.queue)
            if bound is not None:
                self.bounds[number] = bound
                heappush(self.queue, (-float(bound), number))
            best = float("-inf") if self.best is None else float(self.best)

    def _closest(self, number: int) -> Fraction | None:
        """Return a chart's upper bound from its own subproblem; None if no kit holds it."""
        known = self.bounds[number]
        try:
            subproblem = self.charts.subproblem(number, self.spendable, self.time_limit)
        except StateLimitReached:
            return known
        bound = subproblem.upper_bound(self.spendable)
        return None if bound is None else min(bound, known)

    def _open(self, number: int) -> Fraction | None:
        """Open a chart; return its new bound if more may be found in it, else None."""
        alone = with_chart(self.candidates, self.candidates.charts[number])
        if self.frontiers:
            with suppress(StateLimitReached, RuleBroken):
                return self._open_frontier(number, alone)
        # A solver takes as long to import as a pick takes that needs none.
        from kitsolver.solve.model import questions

        whole = alone.many_colours
        if whole:
            # The first figure by itself takes nearly as long as all of them.
            found = questions.best(alone, self.solver, self.time_limit)
        else:
            lean = without_extras(alone)
            found = questions.peak(lean, self.solver, self.time_limit, self.best)
        self.opened[number] = None
        if found is None:
            return None
        value = weighed_points(found.selection, alone)
        opened = OpenedChart(value, alone, peak=found, whole=whole)
        self._note(number, opened)
        self.proven = found.proven
        return None if found.proven else min(self.bounds[number], opened.bound)

    def _open_frontier(self, number: int, alone: Candidates) -> Fraction | None:
        """Open a chart for kits within a step of its bound, or as good as the best."""
        target = max(self.bounds[number] - self.steps[number], self.best or Fraction(0))
        final = target in (self.best, 0)
        opened = self.charts.chart_frontier(
            number, self.spendable, at_goods(self.spendable, target), self.time_limit
        )
        tops = opened.tops(self.cap)
        reached = bool(tops) and tops[0].first >= target
        holds = bool(tops) and (not alone.tied or kept(best_breakpoint(tops).selection, alone))
        if tops and not holds and (final or reached):
            raise RuleBroken
        self.opened[number] = None
        if holds:
            self._note(number, OpenedChart(tops[0].first, alone, tops=tops))
        if final or reached:
            return None
        self.steps[number] *= 2
        return target

    def _note(self, number: int, found: OpenedChart) -> None:
        """Keep what was found in a chart."""
        self.opened[number] = found
        self.best = max(found.value, self.best or Fraction(0))

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
        bound = bound_by(self.highest, self.candidates)
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


def _rank(selection: Selection, candidates: Candidates) -> tuple[Any, ...]:
    """Return what kits are compared by, with the tie-break: less is better."""
    sums = tally(selection, candidates)
    before, unpaid, after = figures(sums, candidates).order
    ties = sorted(sums.units.items()), [place.key for place in selection.places]
    return tuple(-figure for figure in before), -unpaid, -after, *ties
