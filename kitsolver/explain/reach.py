"""Kits just out of reach: the rungs above the cap within a stated sum."""

from __future__ import annotations

from typing import NamedTuple

from kitsolver.brief.brief import Brief
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.audited import audited
from kitsolver.solve.decomposition.sweep import rungs
from kitsolver.solve.engine import Solver
from kitsolver.solve.outcome import Kit
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.time_limit import OutOfTime, TimeLimit


class Reached(NamedTuple):
    """A kit that a higher cap would bring: the least such cap, in minor units, and the kit."""

    cap: int
    kit: Kit


def out_of_reach(
    catalogue: Catalogue, brief: Brief, beyond: int, *, solver: Solver, time_limit: TimeLimit
) -> tuple[Reached, ...]:
    """Return the best kits between the cap and some minor units beyond it, in rising order.

    Raises
    ------
    OutOfTime
        If they are not known in time.
    SolverFault, AuditFailed
        If the program is at fault.
    """
    cap = brief.total_cap
    high = brief.with_cap(cap + beyond)
    candidates = find_candidates(catalogue, high, thin=True, time_limit=time_limit)
    climb = rungs(candidates, cap, cap + beyond, solver, time_limit)
    if climb.proven_from > cap:
        raise OutOfTime
    return tuple(
        Reached(rung.cap, audited(rung.selection, candidates, catalogue))
        for rung in climb.rungs
        if rung.cap > cap
    )
