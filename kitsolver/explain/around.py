"""What stands around a kit: how it changes with the cap, and what is just out of reach."""

from __future__ import annotations

from dataclasses import dataclass

from kitsolver.brief.brief import Brief
from kitsolver.explain.ladder import Ladder, ladder
from kitsolver.explain.reach import Reached
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.engine import Solver
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.time_limit import OutOfTime

_A_WHILE = 5.0


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
    """Return what stands around the best kit of a brief; None where that would take too long.

    Takes and raises what `kitsolver.explain.ladder.ladder` does.
    """
    cap = brief.total_cap
    slow = find_candidates(catalogue, brief, thin=True).tied
    if slow:
        # Every rung would take a model for each chart: what is found in a while will do.
        seconds = min(seconds or _A_WHILE, _A_WHILE)
    low, high = cap * 3 // 5, cap * 7 // 5
    try:
        climbed = ladder(catalogue, brief, low=low, high=high, solver=solver, seconds=seconds)
    except OutOfTime:
        if slow:
            return None
        raise
    near = (rung for rung in climbed.rungs if cap < rung.cap <= cap + cap // 10)
    return Around(climbed, tuple(Reached(rung.cap, rung.kit) for rung in near))
