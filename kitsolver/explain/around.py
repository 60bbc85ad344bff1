"""What stands around a kit: how it changes with the cap, and what is just out of reach."""

from __future__ import annotations

from dataclasses import dataclass

from kitsolver.brief.brief import Brief
from kitsolver.explain.ladder import Ladder, ladder_among
from kitsolver.explain.reach import Reached
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.engine import Solver
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

# In seconds.
_SHORT_TIME = 5.0


@dataclass(frozen=True)
class Around:
    """The ladder around the cap, and the kits a little above it.

    Parameters
    ----------
    ladder : Ladder
        From three fifths of the cap to seven fifths.
    reached : tuple of Reached
        The kits up to a tenth above the cap.
    """

    ladder: Ladder
    reached: tuple[Reached, ...]


def around(
    catalogue: Catalogue,
    brief: Brief,
    *,
    solver: Solver = Solver.SCIP,
    seconds: float | None = None,
) -> Around | None:
    """Return what stands around the best kit of a brief; None if it is not known in time.

    The brief was held against the catalogue before.

    Raises
    ------
    AuditFailed, SolverFault
        If the program is at fault.
    """
    cap = brief.total_cap
    low, high, time_limit = cap * 3 // 5, cap * 7 // 5, TimeLimit(seconds)
    try:
        candidates = find_candidates(catalogue, brief, thin=True, time_limit=time_limit)
        if candidates.tied:
            # Each rung takes a model for every chart: the rungs found in a short time are enough.
            left = time_limit.left
            time_limit = TimeLimit(_SHORT_TIME if left is None else min(left, _SHORT_TIME))
        found = ladder_among(candidates, catalogue, low, high, solver, time_limit)
    except OutOfTime:
        return None
    if found.proven_from > cap:
        return Around(found, ())
    near = (rung for rung in found.rungs if cap < rung.cap <= cap + cap // 10)
    return Around(found, tuple(Reached(rung.cap, rung.kit) for rung in near))
