"""The kit that comes to most for one limit, within a cap and by all other rules."""

from __future__ import annotations

from kitsolver.brief.own_rules import Limit
from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.branches import branches
from kitsolver.solve.decomposition.counted_kits import CountedKits
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.greatest_sums import GreatestSum
from kitsolver.solve.decomposition.opened_chart import kept
from kitsolver.solve.decomposition.subproblems import with_chart
from kitsolver.solve.rules.limits import sum_of
from kitsolver.solve.tally import tally
from kitsolver.solve.time_limit import TimeLimit


def greatest_kit(
    candidates: Candidates, rule: Limit, cap: int, time_limit: TimeLimit
) -> tuple[Selection, Candidates] | None:
    """Return the kit that comes to most for a limit, and what it is chosen from.

    None where frontiers do not tell, or where no kit comes to what the limit asks for.

    Parameters
    ----------
    rule : Limit
        Of the candidates' brief.
    cap : int
        The most that is paid, in minor units.

    Raises
    ------
    OutOfTime
        If there is no time left.
    """
    found: tuple[Selection, Candidates] | None = None
    parts = branches(candidates)
    if candidates.free or candidates.infeasible:
        return None
    for part in [candidates] if parts is None else parts:
        greatest = GreatestSum(part, rule, cap)
        counted = CountedKits(greatest)
        if not (greatest.known and part.relaxed_by_frontiers):
            return None
        bounds = sorted(
            ((greatest.at_most(chart), chart) for chart in part.charts),
            key=lambda pair: (-pair[0], pair[1].sku),
        )
        least = greatest.least
        if found is not None:
            least = int(sum_of(rule, tally(*found)) * greatest.parts) + 1
        for bound, chart in bounds:
            if bound < least:
                break
            alone = with_chart(part, chart)
            try:
                kits = counted.selections(chart, least, cap, alone, time_limit)
            except StateLimitReached:
                return None
            if not kits:
                continue
            most, selection = kits[-1]
            sums = tally(selection, alone)
            exact = sum_of(rule, sums) * greatest.parts == most
            if not exact or sums.receipt.payable > cap or not kept(selection, alone):
                return None
            found, least = (selection, alone), most + 1
    return found
