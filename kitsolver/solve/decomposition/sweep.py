"""Every rung between two caps: the caps at which the best kit gets better, with those kits.

The sweep goes from the highest cap down, one stretch of caps after the other. Stretches are short
enough that the upper bound changes little within one. In each, charts are opened for kits that
come close to the bound at some cap of the stretch; where the best kit found stays below that at
some cap, the target is lowered and charts are opened again. Below a stretch, the best kit at its
lowest cap stays the best down to what is paid for it: there the next stretch begins.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from fractions import Fraction

from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.cap_by_cap import CapByCap
from kitsolver.solve.decomposition.chart_frontier import (
    Breakpoint,
    ChartFrontier,
    best_breakpoint,
)
from kitsolver.solve.decomposition.chosen_rungs import ChosenRung, ProvenRungs, improvements
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.subproblems import Subproblems
from kitsolver.solve.decomposition.target import Demand, Target
from kitsolver.solve.decomposition.tied_sweep import tied_sweep
from kitsolver.solve.decomposition.whole_sweep import WholeSweep
from kitsolver.solve.engine import Solver
from kitsolver.solve.search_result import Progress
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

# Within a stretch the bound falls by no more than this part of it, if the stretch can be as short.
_FALL = Fraction(1, 512)
# So much of the bound is given up in turn until the best kits are found, then all of it.
_GIVEN_UP = (
    *(Fraction(4**step, 65536) for step in range(3)),
    *(Fraction(2**step, 2048) for step in range(10)),
    Fraction(1),
)
# The target is laid at so many caps of a stretch, and one more.
_PARTS = 4


def rungs(
    candidates: Candidates,
    low: int,
    high: int,
    solver: Solver,
    time_limit: TimeLimit,
    progress: Progress | None = None,
    charts: Subproblems | None = None,
) -> ProvenRungs:
    """Return every rung between two caps, in minor units; first the kit that stands at the lower.

    Parameters
    ----------
    charts : Subproblems, optional
        Of the same candidates, if something is known of them already.

    Raises
    ------
    OutOfTime
        If time ran out before anything was proven.
    SolverFault
        As `kitsolver.solve.model.questions.best` does.
    """
    if candidates.infeasible:
        return ProvenRungs((), low)
    progress = progress or (lambda *_: None)
    at_high = replace(candidates, brief=candidates.brief.with_cap(high))
    least, most = map(candidates.most_goods, (low, high))
    charts = charts or Subproblems(at_high, least, most, time_limit=time_limit)
    by_caps = CapByCap(at_high, solver, time_limit, charts)
    if candidates.tied:
        # Frontiers may hold kits that some rule bars.
        if candidates.relaxed_by_frontiers:
            with suppress(StateLimitReached):
                return tied_sweep(at_high, low, high, by_caps.search, time_limit, progress)
        return by_caps.run(low, high, progress)
    with suppress(StateLimitReached):
        return _whole(charts, low, high, time_limit, progress)
    try:
        return _Sweep(charts, low, high, by_caps, time_limit, progress).run()
    except StateLimitReached:
        return by_caps.run(low, high, progress)


def _whole(
    charts: Subproblems, low: int, high: int, time_limit: TimeLimit, progress: Progress
) -> ProvenRungs:
    """Return the rungs from the whole frontiers of charts."""
    sweep = WholeSweep(charts, low, high, time_limit, progress)
    proven_from = sweep.run()
    best = list(improvements(sweep.breakpoints))
    standing = sum(paid <= proven_from for paid, _ in best)
    found = best[max(0, standing - 1) :]
    chosen = (ChosenRung(paid, best_breakpoint(tied).selection) for paid, tied in found)
    return ProvenRungs(tuple(chosen), proven_from)


class _Sweep:
    """The best kits found so far, by what is paid for them."""

    def __init__(
        self,
        charts: Subproblems,
        low: int,
        high: int,
        by_caps: CapByCap,
        time_limit: TimeLimit,
        progress: Progress,
    ) -> None:
        self.charts, self.candidates, self.by_caps = charts, charts.candidates, by_caps
        self.low, self.high = low, high
        self.time_limit, self.progress = time_limit, progress
        self.found: list[tuple[int, list[Breakpoint]]] = []
        # Rungs at caps that were searched by themselves.
        self.searched: list[ChosenRung] = []
        self.width = high - low
        # How far down `_GIVEN_UP` the last stretch went; the next one begins a step before.
        self.step = 0

    def run(self) -> ProvenRungs:
        """Go down from the highest cap, as far as time allows."""
        cap = self.high
        try:
            while cap >= self.low:
                self.progress(self.high - cap, self.high - self.low)
                self.time_limit.check()
                bottom = self._stretch_below(cap)
                try:
                    self._complete(bottom, cap)
                except StateLimitReached:
                    # In a shorter stretch fewer states reach the target, and at one cap a search
                    # that lowers the bounds of charts one by one needs the fewest.
                    self.width, self.step = (cap - bottom) // 8, 0
                    if bottom == cap:
                        cap = self._search(cap) - 1
                    continue
                paid = [paid for paid, _ in self.found if paid <= bottom]
                cap = max(paid, default=bottom) - 1
                if not paid:
                    # There is no kit at the lowest cap of the stretch, nor any below.
                    cap = self.low - 1
        except OutOfTime:
            if cap == self.high:
                raise
        low = max(self.low, cap + 1)
        return ProvenRungs(tuple(self._rungs(low)), low)

    def _search(self, cap: int) -> int:
        """Find the best kit at a cap by itself; return what is paid for it, 0 if there is none."""
        rung = self.by_caps.search(cap)
        if rung is None:
            return 0
        self.searched.append(rung)
        return rung.cap

    def _stretch_below(self, cap: int) -> int:
        """Return the lowest cap of the stretch that begins at a cap."""
        top = self._upper_bound(cap)
        width = min(2 * self.width, cap - self.low)
        while width and self._upper_bound(cap - width) < top * (1 - _FALL):
            width //= 2
        self.width = max(1, width)
        return cap - width

    def _upper_bound(self, cap: int) -> Fraction:
        """Return what the first figure of no kit within a cap exceeds; 0 where there is no kit."""
        goods = self.candidates.most_goods(cap)
        return self.charts.upper_bound(goods, self.time_limit)

    def _complete(self, low: int, high: int) -> None:
        """Find the best kits at every cap of a stretch."""
        caps = sorted({low + (high - low) * part // _PARTS for part in range(_PARTS + 1)})
        bottom, top = self._upper_bound(low), self._upper_bound(high)
        # The bound is concave, but for jumps from chart to chart: a line lies below it.
        line = [bottom + (top - bottom) * Fraction(cap - low, max(1, high - low)) for cap in caps]
        best = [Fraction(0)] * len(caps)
        opened: list[ChartFrontier] = []
        for step in range(max(0, self.step - 1), len(_GIVEN_UP)):
            self.step, given_up = step, _GIVEN_UP[step]
            wanted = [
                max(least, first * (1 - given_up)) for least, first in zip(best, line, strict=True)
            ]
            opened = list(self._open(caps, wanted))
            best = _best_first(opened, caps)
            if all(one >= other for one, other in zip(best, wanted, strict=True)):
                break
        breakpoints = [one for chart in opened for one in chart.breakpoints(high)]
        found = list(improvements(breakpoints))
        # Of those for which less is paid, only the kit that stands at the lowest cap is proven.
        below = sum(paid <= low for paid, _ in found)
        self.found += found[max(0, below - 1) :]

    def _open(self, caps: list[int], wanted: list[Fraction]) -> Iterator[ChartFrontier]:
        """Yield all charts whose bound reaches what is wanted; what is found raises that."""
        target = self._target(caps, wanted)
        for number in self.charts.reaching(target):
            chart = self.charts.chart_frontier(number, target.limit, target, self.time_limit)
            yield chart
            wanted = list(map(max, wanted, _best_first([chart], caps)))
            target = self._target(caps, wanted)

    def _target(self, caps: list[int], wanted: list[Fraction]) -> Target:
        """Return what kits must reach: from each cap on as much as is wanted there."""
        goods = [self.candidates.most_goods(cap) for cap in caps]
        return Target(map(Demand, [*goods[1:], goods[-1]], wanted))

    def _rungs(self, low: int) -> list[ChosenRung]:
        """Return the rungs from a cap on, first what stands there."""
        swept = dict(improvements([one for _, best in self.found for one in best]))
        searched = dict(self.searched)
        caps = sorted({*swept, *searched})
        standing = [cap for cap in caps if cap <= low][-1:]
        return [
            ChosenRung(
                cap, searched[cap] if cap in searched else best_breakpoint(swept[cap]).selection
            )
            for cap in [*standing, *(cap for cap in caps if cap > low)]
        ]


def _best_first(charts: Sequence[ChartFrontier], caps: Sequence[int]) -> list[Fraction]:
    """Return the best first figure of the kits within each of some caps; 0 where there are none."""
    return [max((chart.best_first(cap) for chart in charts), default=Fraction(0)) for cap in caps]
