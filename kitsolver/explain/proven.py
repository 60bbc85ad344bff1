"""The proven best of some offers, or none: nothing else will do for an explanation."""

from __future__ import annotations

from collections.abc import Collection

from kitsolver.solve.decomposition.search import by_chart
from kitsolver.solve.decomposition.subproblems import Charts
from kitsolver.solve.candidates.candidate import Choice
from kitsolver.solve.candidates.candidates import Offers
from kitsolver.solve.model.solver import Clock, OutOfTime, Solver


def proven(
    choices: Offers,
    solver: Solver,
    clock: Clock,
    *,
    charts: Charts | None = None,
    but: Collection[str] = (),
) -> Choice | None:
    """Return the best choice; None if there is none.

    Parameters
    ----------
    charts : Charts, optional
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
    found = by_chart(choices, solver, clock, charts=charts, but=but)
    if found is not None and not found.proven:
        raise OutOfTime
    return None if found is None else found.choice
