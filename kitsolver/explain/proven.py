"""The proven best selection, or none: nothing else will do for an explanation."""

from __future__ import annotations

from collections.abc import Collection
from fractions import Fraction

from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.search import by_chart
from kitsolver.solve.decomposition.subproblems import Subproblems
from kitsolver.solve.engine import Solver
from kitsolver.solve.search_result import Progress, SearchResult
from kitsolver.solve.time_limit import OutOfTime, TimeLimit


class Unproven(OutOfTime):
    """The time limit passed before the best kit was proven; `found` is the best so far."""

    def __init__(self, found: SearchResult) -> None:
        super().__init__()
        self.found = found


def proven(
    candidates: Candidates,
    solver: Solver,
    time_limit: TimeLimit,
    *,
    charts: Subproblems | None = None,
    but: Collection[str] = (),
    progress: Progress | None = None,
    reached: Fraction | None = None,
) -> Selection | None:
    """Return the best selection; None if there is none.

    Parameters
    ----------
    charts : Subproblems, optional
        Of the same candidates, if something is known of them already.
    but : collection of str
        Skus of charts that are passed over.
    progress : callable, optional
        Told the charts opened and the charts there are.
    reached : Fraction, optional
        As `kitsolver.solve.decomposition.search.by_chart` takes it.

    Raises
    ------
    Unproven
        If a kit was found in time, but no proof that it is the best.
    OutOfTime
        If not even a kit was found in time.
    SolverFault
        If the program is at fault.
    """
    found = by_chart(
        candidates, solver, time_limit, progress, charts=charts, but=but, reached=reached
    )
    if found is not None and not found.proven:
        raise Unproven(found)
    return None if found is None else found.selection
