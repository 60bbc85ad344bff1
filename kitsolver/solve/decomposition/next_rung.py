"""The first rung above a cap: the least cap at which a kit is better than the best at that cap."""

from __future__ import annotations

from fractions import Fraction

from kitsolver.solve.decomposition.chart_frontier import Breakpoint, best_breakpoint
from kitsolver.solve.decomposition.chosen_rungs import improvements
from kitsolver.solve.decomposition.subproblems import Subproblems
from kitsolver.solve.decomposition.target import at_goods
from kitsolver.solve.time_limit import TimeLimit

# The first stretch of caps above is this part of the cap; each further one is twice as long.
_FIRST_STRETCH = 64


def next_rung(
    charts: Subproblems, cap: int, first: Fraction, time_limit: TimeLimit
) -> Breakpoint | None:
    """Return the first rung above a cap, up to twice the cap; None if there is none.

    Parameters
    ----------
    charts : Subproblems
        Of which the best kit at the cap is known.
    cap : int
        In minor units.
    first : Fraction
        The first figure of that kit, in weighed points.

    Raises
    ------
    StateLimitReached, OutOfTime
        As `kitsolver.solve.decomposition.chart_frontier.chart_frontier` does.
    """
    width = cap // _FIRST_STRETCH + 1
    while True:
        high = min(cap + width, 2 * cap)
        target = at_goods(charts.candidates.most_goods(high), first)
        opened: list[Breakpoint] = []
        for number in charts.reaching(target):
            chart = charts.chart_frontier(number, target.limit, target, time_limit)
            opened += chart.breakpoints(high)
        above = [tied for paid, tied in improvements(opened) if paid > cap]
        if above:
            return best_breakpoint(above[0])
        if high == 2 * cap:
            return None
        width *= 2
