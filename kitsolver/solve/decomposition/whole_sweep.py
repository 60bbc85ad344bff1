"""Every rung between two caps from the whole frontiers of charts: the quick way for small charts.

The frontier of a chart holds its kits for every cap. Caps are gone through from the highest down:
at each, charts are opened while their upper bound reaches the best first figure known there. Below,
that figure stays the best down to what is paid for it, and bounds only fall: so nothing is looked
at again until there.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from fractions import Fraction

from kitsolver.solve.decomposition.chart_frontier import Breakpoint
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.subproblems import Subproblems
from kitsolver.solve.decomposition.target import at_goods
from kitsolver.solve.search_result import Progress
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

# A chart of more colours has too many states, most often: it is not tried.
_FEW_COLOURS = 20


class WholeSweep:
    """The breakpoints of the charts opened so far, and the best first figure known at every cap.

    Parameters
    ----------
    charts : Subproblems
        Of the candidates, with the highest cap's goods total among those asked for.
    low, high : int
        Caps in minor units.
    known : sequence of Breakpoint
        Kits found elsewhere: charts that cannot reach them stay closed.
    """

    def __init__(
        self,
        charts: Subproblems,
        low: int,
        high: int,
        time_limit: TimeLimit,
        progress: Progress,
        known: Sequence[Breakpoint] = (),
    ) -> None:
        self.charts, self.low, self.high = charts, low, high
        self.time_limit, self.progress = time_limit, progress
        self.breakpoints: list[Breakpoint] = []
        # By the least that is paid for it, the best first figure known.
        self._known: list[tuple[int, Fraction]] = []
        self._opened: set[int] = set()
        self._add(known)

    def run(self) -> int:
        """Go down from the highest cap as far as time allows; return the cap proven last.

        Raises
        ------
        StateLimitReached
            If a chart that is opened has too many colours or states for a whole frontier.
        OutOfTime
            If time ran out before anything was proven.
        """
        cap = self.high
        try:
            while cap >= self.low:
                self.progress(self.high - cap, self.high - self.low)
                at = bisect_right(self._known, cap, key=lambda step: step[0]) - 1
                paid, first = self._known[at] if at >= 0 else (0, Fraction(0))
                number = self._reaching(cap, first)
                if number is None:
                    cap = paid - 1
                else:
                    self._open(number, cap)
        except OutOfTime:
            if cap == self.high:
                raise
        return max(self.low, cap + 1)

    def _reaching(self, cap: int, first: Fraction) -> int | None:
        """Return the closed chart with the highest bound, if that reaches a first figure."""
        target = at_goods(self.charts.candidates.most_goods(cap), first)
        reaching = self.charts.reaching(target)
        return next((number for number in reaching if number not in self._opened), None)

    def _open(self, number: int, cap: int) -> None:
        """Add the kits of a chart within a cap to what is known."""
        if self.charts.colours[number] > _FEW_COLOURS:
            raise StateLimitReached
        self._opened.add(number)
        limit = self.charts.candidates.most_goods(cap)
        chart = self.charts.chart_frontier(number, limit, None, self.time_limit)
        found = list(chart.breakpoints(cap))
        self.breakpoints += found
        self._add(found)

    def _add(self, found: Sequence[Breakpoint]) -> None:
        """Add kits to what is known."""
        known, self._known = self._known, []
        for paid, first in sorted([*known, *((one.paid, one.first) for one in found)]):
            if not self._known or first > self._known[-1][1]:
                # Of kits for which as much is paid, the last has the best figure.
                if self._known and self._known[-1][0] == paid:
                    self._known.pop()
                self._known.append((paid, first))
