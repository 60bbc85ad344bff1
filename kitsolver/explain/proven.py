"""The proven best of some offers, or none: nothing else will do for an explanation."""

from __future__ import annotations

from collections.abc import Collection

from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.search import by_chart
from kitsolver.solve.decomposition.subproblems import Subproblems
from kitsolver.solve.engine import Solver
from kitsolver.solve.time_limit import OutOfTime, TimeLimit


def proven(
    candidates: Candidates,
    solver: Solver,
    time_limit: TimeLimit,
    *,
    charts: Subproblems | None = None,
    but: Collection[str] = (),
) -> Selection | None:
    """Return the best choice; None if there is none.

    Parameters
    ----------
    charts : Subproblems, optional
        Of the same offers, if something is known of them already.
    but : collection of str
        Skus of charts that are passed over.

    Raises
    ------
    OutOfTime
        If that is not known in time.
    SolverFault
        If the program is at fault.
    """
    found = by_chart(candidates, solver, time_limit, charts=charts, but=but)
    if found is not None and not found.proven:
        raise OutOfTime
    return None if found is None else found.selection
