"""Rungs by a search at each of them: the slow way, for charts that are left to a model."""

from __future__ import annotations

from dataclasses import replace

from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.chosen_rungs import ChosenRung, ProvenRungs, from_above
from kitsolver.solve.decomposition.search import by_chart
from kitsolver.solve.decomposition.subproblems import Subproblems
from kitsolver.solve.engine import Solver
from kitsolver.solve.search_result import Progress
from kitsolver.solve.tally import tally
from kitsolver.solve.time_limit import OutOfTime, TimeLimit


class CapByCap:
    """A search at each rung: below what a best kit costs, another one is best.

    Parameters
    ----------
    candidates : Candidates
        At any cap.
    charts : Subproblems, optional
        Of the same candidates, if something is known of them already.
    """

    def __init__(
        self,
        candidates: Candidates,
        solver: Solver,
        time_limit: TimeLimit,
        charts: Subproblems | None = None,
    ) -> None:
        self.candidates, self.solver = candidates, solver
        self.time_limit, self.charts = time_limit, charts

    def run(self, low: int, high: int, progress: Progress) -> ProvenRungs:
        """Return every rung between two caps, in minor units, from above as far as time allows.

        Raises
        ------
        OutOfTime
            If time ran out before anything was proven.
        """

        def best(cap: int) -> ChosenRung | None:
            progress(high - cap, high - low)
            return self.search(cap)

        return from_above(low, high, best)

    def search(self, cap: int) -> ChosenRung | None:
        """Return the best kit at a cap, with what is paid for it; None if there is none.

        Raises
        ------
        OutOfTime
            If it is not proven in time.
        """
        at_cap = replace(self.candidates, brief=self.candidates.brief.with_cap(cap))
        found = by_chart(at_cap, self.solver, self.time_limit, charts=self.charts)
        if found is None:
            return None
        if not found.proven:
            raise OutOfTime
        return ChosenRung(tally(found.selection, at_cap).receipt.payable, found.selection)
