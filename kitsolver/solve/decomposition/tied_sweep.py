"""Every rung between two caps where rules of one's own tie choices, from the frontiers of charts.

The branches of the search have frontiers that hold every kit, and perhaps some that limits bar. So
the best kit of all frontiers at a cap is the best there, if it keeps to the rules. If it does not,
the cap is searched by itself. The best kit found at a cap is the best down to what is paid for it.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable

from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.branches import branches
from kitsolver.solve.decomposition.chart_frontier import Breakpoint, best_breakpoint
from kitsolver.solve.decomposition.chosen_rungs import (
    ChosenRung,
    ProvenRungs,
    from_above,
    improvements,
)
from kitsolver.solve.decomposition.opened_chart import kept
from kitsolver.solve.decomposition.subproblems import Subproblems
from kitsolver.solve.decomposition.whole_sweep import WholeSweep
from kitsolver.solve.search_result import Progress
from kitsolver.solve.time_limit import TimeLimit

# Returns the best kit at a cap, searched by itself, with what is paid for it; None without a kit.
_Search = Callable[[int], ChosenRung | None]


def tied_sweep(
    candidates: Candidates,
    low: int,
    high: int,
    search: _Search,
    time_limit: TimeLimit,
    progress: Progress,
) -> ProvenRungs:
    """Return every rung between two caps, in minor units.

    Parameters
    ----------
    candidates : Candidates
        At the higher cap, with frontiers that hold every kit.
    search : callable
        Finds the best kit at a cap by itself.

    Raises
    ------
    StateLimitReached
        If some chart has too many colours or states for a whole frontier.
    OutOfTime
        If time ran out before anything was proven.
    """
    breakpoints, proven_from = _relaxed(candidates, low, high, time_limit, progress)
    steps = list(improvements(breakpoints))
    payments = [paid for paid, _ in steps]

    def best(cap: int) -> ChosenRung | None:
        time_limit.check()
        at = bisect_right(payments, cap) - 1
        if at < 0:
            return None
        paid, tied = steps[at]
        rung = ChosenRung(paid, best_breakpoint(tied).selection)
        return rung if kept(rung.selection, candidates) else search(cap)

    return from_above(proven_from, high, best)


def _relaxed(
    candidates: Candidates, low: int, high: int, time_limit: TimeLimit, progress: Progress
) -> tuple[list[Breakpoint], int]:
    """Return the breakpoints of all branches, and the lowest cap at which none is missing."""
    parts = branches(candidates)
    least, most = map(candidates.most_goods, (low, high))
    found: list[Breakpoint] = []
    proven_from = low
    for part in [candidates] if parts is None else parts:
        charts = Subproblems(part, least, most, time_limit=time_limit)
        sweep = WholeSweep(charts, low, high, time_limit, progress, found)
        proven_from = max(proven_from, sweep.run())
        found += sweep.breakpoints
    return found, proven_from
