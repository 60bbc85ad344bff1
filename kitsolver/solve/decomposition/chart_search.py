"""Charts from the highest upper bound down: the search of one set of candidates.

Every chart has an upper bound (`upper_bound.py`), which its subproblem makes closer
(`subproblem.py`). The chart with the highest bound is opened for kits that come within a step of
it, or reach the best first figure found. If none does, the chart's bound falls to what was looked
for, and its next step is twice as long. If its best kit breaks a limit, the limit is charged for
beside money (`surrogate.py`), which makes the bounds of all charts closer; if the chart still has
the highest bound after that, it is a model. The proof is done when no bound is left that reaches
the best. Charts that reach it are compared by all figures: one that took too many states before is
opened again, for now the best is known, and the fewer states, the more a kit has to reach.
"""

from __future__ import annotations

from collections.abc import Collection
from contextlib import suppress
from dataclasses import replace
from fractions import Fraction
from heapq import heapify, heappop, heappush, heapreplace

from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.chart_frontier import best_breakpoint
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.opened_chart import OpenedChart, kept, rank, without_extras
from kitsolver.solve.decomposition.quick_kit import quick_kit
from kitsolver.solve.decomposition.subproblems import Subproblems, with_chart
from kitsolver.solve.decomposition.surrogate import Surrogates
from kitsolver.solve.decomposition.target import at_goods
from kitsolver.solve.engine import Solver
from kitsolver.solve.figures import bound_by, weighed_points
from kitsolver.solve.search_result import Progress, SearchResult
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

# The first step below a chart's bound is this part of it.
_STEP = Fraction(1, 2048)

# After one of so many equal parts of the time a quick kit is looked for.
_PARTS = 8


class RuleBroken(Exception):
    """The best kit of a frontier breaks a rule that frontiers do not know; others may keep it."""


class ChartSearch:
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
        self.solver, self.time_limit, self.whole_time = solver, time_limit.earlier, time_limit
        self.cap = candidates.brief.total_cap
        self.spendable = candidates.most_goods(self.cap)
        self.bounds = {
            number: bound
            for number, bound in charts.bounds_within(self.cap).items()
            if candidates.charts[number].sku not in but
        }
        # Charts whose bound is as close as it gets; all of them where each is a model.
        by_frontiers = frontiers and candidates.relaxed_by_frontiers
        self.closest = set() if by_frontiers else set(self.bounds)
        self.frontiers = frontiers
        # By number what was found in a chart; None where there is nothing of interest.
        self.opened: dict[int, OpenedChart | None] = {}
        # By number the target at which a chart's frontier took too many states.
        self.too_many: dict[int, Fraction] = {}
        self.steps = {number: bound * _STEP for number, bound in self.bounds.items()}
        self.surrogates = Surrogates(candidates, self.spendable) if by_frontiers else None
        # Charts whose best kits break a limit.
        self.limited: set[int] = set()
        # They are sorted in floating point, and those that seem equal to the best are opened.
        self.queue = [(-float(bound), number) for number, bound in self.bounds.items()]
        heapify(self.queue)
        self.best: Fraction | None = None
        # A kit that is quickly found, for where time runs out before the search finds one: it is
        # looked for once a part of the time has passed.
        self.quick: Selection | None = None
        self.early = time_limit.part(_PARTS)
        self.proven = True

    @property
    def highest(self) -> Fraction:
        """What no kit goes beyond."""
        waiting = (self.bounds[number] for _, number in self.queue)
        return max(*waiting, self.best or Fraction(0), Fraction(0))

    def run(self, progress: Progress, reached: Fraction | None = None) -> None:
        """Open charts until no bound is left that reaches the best, or time runs out.

        Parameters
        ----------
        reached : Fraction, optional
            The first figure, in weighed points, of a kit that is known from elsewhere: only kits
            that reach it are looked for.
        """
        self.best = reached
        best = float("-inf") if reached is None else float(reached)
        while self.proven and self.queue and -self.queue[0][0] >= best:
            top, number = self.queue[0]
            if self.bounds[number] < 0:
                heappop(self.queue)
                continue
            if float(self.bounds[number]) < -top:
                # Its bound fell while it waited.
                heapreplace(self.queue, (-float(self.bounds[number]), number))
                continue
            try:
                if number not in self.closest:
                    self.closest.add(number)
                    bound = self._closest(number)
                else:
                    progress(len(self.opened) + 1, len(self.bounds))
                    bound = self._open(number)
                    self._look_for_quick_kit()
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
        if any(at.slow for at in subproblem.counts):
            # What reaches the bound itself is found sooner than all that comes near it.
            self.steps[number] = Fraction(0)
        bound = subproblem.upper_bound(self.spendable, self.time_limit)
        self.charts.note(number, self.cap, bound)
        return None if bound is None else min(bound, known)

    def _bound_by_limits(self, number: int) -> Fraction | None:
        """Return a chart's upper bound with limits charged for; None if no kit holds the chart.

        The rates that bound it closest are used on the other charts, too.
        """
        assert self.surrogates is not None
        known = self.bounds[number]
        with suppress(StateLimitReached):
            bound = self.surrogates.upper_bound(number, known, self.time_limit)
            for other, closer in self.surrogates.unused_bounds(self.time_limit):
                if other in self.bounds:
                    self.bounds[other] = min(self.bounds[other], closer)
            if bound is None or self.bounds[number] < 0:
                return None
            known = min(bound, self.bounds[number])
        return known

    def _open(self, number: int) -> Fraction | None:
        """Open a chart; return its new bound if more may be found in it, else None."""
        alone = with_chart(self.candidates, self.candidates.charts[number])
        if self.frontiers and number not in self.limited:
            try:
                return self._open_frontier(number, alone)
            except StateLimitReached:
                pass
            except RuleBroken:
                self.limited.add(number)
                if self.surrogates and len(self.queue) > 1:
                    return self._bound_by_limits(number)
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
        try:
            opened = self.charts.chart_frontier(
                number, self.spendable, at_goods(self.spendable, target), self.time_limit
            )
        except StateLimitReached:
            self.too_many[number] = target
            raise
        tops = opened.tops(self.cap)
        reached = bool(tops) and tops[0].first >= target
        self.charts.note(number, self.cap, tops[0].first if reached else target)
        holds = bool(tops) and (not alone.tied or kept(best_breakpoint(tops).selection, alone))
        if tops and not holds and (final or reached):
            raise RuleBroken
        self.opened[number] = None
        if holds:
            self._note(number, OpenedChart(tops[0].first, alone, tops=tops))
        if final or reached:
            return None
        self.steps[number] = 2 * self.steps[number] or self.bounds[number] * _STEP
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
        if not self.proven:
            return self._so_far()
        top = [n for n, one in self.opened.items() if one and one.value == self.best]
        if not top:
            return None
        try:
            found = [self._final(number) for number in top]
        except OutOfTime:
            return self._so_far()
        answers = [answer for answer in found if answer]
        first = min(answers, key=lambda answer: rank(answer.selection, self.candidates))
        proven = all(answer.proven for answer in answers)
        return replace(first, proven=proven, opened=len(self.opened))

    def _final(self, number: int) -> SearchResult | None:
        """Return the best selection by all figures of a chart whose first figure is the best."""
        opened = self.opened[number]
        assert opened is not None
        if not opened.whole and self.too_many.get(number, opened.value) < opened.value:
            with suppress(StateLimitReached, RuleBroken):
                self.bounds[number] = opened.value
                self._open_frontier(number, opened.candidates)
                opened = self.opened[number] or opened
        return opened.final(self.solver, self.time_limit)

    def _look_for_quick_kit(self, time_limit: TimeLimit | None = None) -> None:
        """Look for a kit if there is none, once part of the time has passed or by another limit."""
        if self.best is None and self.quick is None and (time_limit or self.early.left == 0):
            limit = time_limit or self.time_limit
            self.quick = quick_kit(self.candidates, self.charts, limit)

    def _so_far(self) -> SearchResult:
        """Return the best found when time ran out, with the bound on any kit."""
        found = [one.selection for one in self.opened.values() if one]
        if not found:
            self._look_for_quick_kit(self.whole_time)
            found = [self.quick] if self.quick else []
        if not found:
            raise OutOfTime
        selection = min(found, key=lambda selection: rank(selection, self.candidates))
        bound = bound_by(self.highest, self.candidates)
        return SearchResult(selection, bound, proven=False, opened=len(self.opened))
