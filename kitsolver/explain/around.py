"""What stands around a kit: how it changes with the cap, and what is just out of reach."""

from __future__ import annotations

from dataclasses import dataclass

from kitsolver.brief.asked import Brief
from kitsolver.explain.ladder import Ladder, ladder
from kitsolver.explain.reach import Reached
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.model.solver import Solver


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
) -> Around:
    """Return what stands around the best kit of a brief.

    Takes and raises what `kitsolver.explain.ladder.ladder` does.
    """
    cap = brief.total_cap
    climbed = ladder(
        catalogue, brief, low=cap * 3 // 5, high=cap * 7 // 5, solver=solver, seconds=seconds
    )
    near = (rung for rung in climbed.rungs if cap < rung.cap <= cap + cap // 10)
    return Around(climbed, tuple(Reached(rung.cap, rung.kit) for rung in near))
