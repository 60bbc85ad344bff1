"""A kit that is quickly found, for a search that ran out of time before it found one.

Thread is assigned greedily, for little money, and the best of everything else is taken that can be
paid with what is left.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from itertools import islice

from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.chart_frontier import selection_of
from kitsolver.solve.decomposition.contents import Contents
from kitsolver.solve.decomposition.frontier import StateLimitReached, sum_of_all
from kitsolver.solve.decomposition.frontier_settings import Bounds
from kitsolver.solve.decomposition.greedy_kit import greedy_threads
from kitsolver.solve.decomposition.opened_chart import rank
from kitsolver.solve.decomposition.subproblem import Subproblem
from kitsolver.solve.decomposition.subproblems import Subproblems
from kitsolver.solve.rules import RULES
from kitsolver.solve.tally import tally
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

# So many charts are tried.
_MOST_CHARTS = 24


def quick_kit(
    candidates: Candidates, charts: Subproblems, time_limit: TimeLimit
) -> Selection | None:
    """Return the best of some kits within the brief's cap that are quickly found; None without one.

    Parameters
    ----------
    charts : Subproblems
        Of the candidates. Those that are set up already are tried first, then cheap ones.
    time_limit : TimeLimit
        Within which charts are tried.
    """
    spendable = candidates.most_goods(candidates.brief.total_cap)
    found: list[Selection] = []
    with suppress(OutOfTime):
        for number in islice(charts.quickest_first(), _MOST_CHARTS):
            if found and not charts.is_set_up(number):
                break
            with suppress(StateLimitReached):
                subproblem = charts.subproblem(number, spendable, time_limit)
                for selection in _kits(subproblem, spendable, time_limit):
                    sums = tally(selection, candidates)
                    if all(rule.holds(sums, candidates) for rule in RULES):
                        found.append(selection)
    return min(found, key=lambda selection: rank(selection, candidates), default=None)


def _kits(subproblem: Subproblem, limit: int, time_limit: TimeLimit) -> Iterator[Selection]:
    """Yield a kit of each effective count whose goods cost no more than a limit."""
    settings = subproblem.settings._replace(time_limit=time_limit)
    for at, thread in greedy_threads(subproblem):
        if thread.cost > limit:
            continue
        rest = sum_of_all(at.parts, Bounds(limit - thread.cost), settings)
        if len(rest):
            # The last breakpoint is the one of the highest worth.
            taken = rest.trace_back(int(rest.cost[-1]), int(rest.worth[-1]))
            yield selection_of(taken.and_(Contents((), (), thread.places)))
