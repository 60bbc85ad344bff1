"""The kit that comes to most for one limit, within a cap and by all other rules."""

from __future__ import annotations

from typing import NamedTuple

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


class GreatestKit(NamedTuple):
    """A kit that comes to much for a limit.

    Parameters
    ----------
    selection : Selection
        What it holds.
    candidates : Candidates
        What it is chosen from.
    proven : bool
        Whether no other kit comes to more; else some may.
    """

    selection: Selection
    candidates: Candidates
    proven: bool


def greatest_kit(
    candidates: Candidates, rule: Limit, cap: int, time_limit: TimeLimit
) -> GreatestKit | None:
    """Return the kit that comes to most for a limit, or to much, as far as frontiers tell.

    None where they do not tell, or where no kit comes to what the limit asks for.

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
    found: GreatestKit | None = None
    proven = True
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
            least = int(sum_of(rule, tally(found.selection, found.candidates)) * greatest.parts) + 1
        for bound, chart in bounds:
            if bound < least:
                break
            alone = with_chart(part, chart)
            try:
                kits = counted.selections(chart, least, cap, alone, time_limit)
            except StateLimitReached:
                return found and found._replace(proven=False)
            if not kits:
                continue
            most, selection = kits[-1]
            sums = tally(selection, alone)
            total = int(sum_of(rule, sums) * greatest.parts)
            obeys = sums.receipt.payable <= cap and kept(selection, alone)
            if obeys and total >= least:
                found, least = GreatestKit(selection, alone, proven=True), total + 1
            # Frontiers come to more than the kit does where a pack counts for several colours.
            proven = proven and least > most
    return found and found._replace(proven=proven)
