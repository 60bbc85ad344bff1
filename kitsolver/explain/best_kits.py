"""The best kit of a brief, and of briefs that ask for all that it asks for, and for more."""

from __future__ import annotations

from kitsolver.brief.brief import Brief
from kitsolver.explain.break_even import beyond
from kitsolver.explain.proven import proven
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.audited import audited
from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.opened_chart import rank
from kitsolver.solve.decomposition.subproblems import Subproblems
from kitsolver.solve.engine import Solver
from kitsolver.solve.figures import weighed_points
from kitsolver.solve.leading_charts import leading_candidates, other_leading
from kitsolver.solve.outcome import Kit
from kitsolver.solve.presolve.category_rows import CategoryRows
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.presolve.row_memory import RowMemory
from kitsolver.solve.time_limit import TimeLimit


class BestKits:
    """The best kit of a brief, and of stricter briefs.

    Parameters
    ----------
    catalogue : Catalogue
        What is for sale.
    brief : Brief
        What is asked.
    price : int
        In minor units: kits are sought at caps, too, up to which they come once a row of this
        price costs nothing.
    solver : Solver
        The mixed-integer solver for charts that are too large for frontiers.
    time_limit : TimeLimit
        Once it has run out, everything raises `OutOfTime`.
    memory : RowMemory
        Of the rows admitted in the catalogue before.

    Attributes
    ----------
    charts : Subproblems
        The charts that can be in a best kit of the brief, at its cap or at a higher one.
    """

    def __init__(
        self,
        catalogue: Catalogue,
        brief: Brief,
        price: int,
        solver: Solver,
        time_limit: TimeLimit,
        memory: RowMemory,
    ) -> None:
        self.catalogue, self.solver, self.time_limit = catalogue, solver, time_limit
        self._price, self._memory = price, memory
        leading = leading_candidates(
            catalogue, brief, solver=solver, time_limit=time_limit, memory=memory
        )
        self._every = leading.every
        self.charts = self._subproblems(leading.candidates)

    def charts_of(self, stricter: Brief) -> Subproblems:
        """Return the same charts for a brief that asks for all that this one does, and for more.

        Those are among them that are in kits of the stricter brief as good as the best of this one
        but for what is paid.
        """
        known = self.charts
        candidates = find_candidates(
            self.catalogue,
            stricter,
            thin=True,
            known=known.candidates,
            time_limit=self.time_limit,
        )
        return self._subproblems(candidates, known)

    def best(self, charts: Subproblems) -> Kit | None:
        """Return the best kit of the brief whose charts these are; None if there is none.

        Raises
        ------
        Unproven, OutOfTime, SolverFault
            As `proven` does.
        AuditFailed
            If the program is at fault.
        """
        candidates, stricter = charts.candidates, charts is not self.charts
        if stricter and self._too_dear_on_cloth(candidates.brief):
            return None
        found = proven(candidates, self.solver, self.time_limit, charts=charts)
        if stricter and not self._every:
            better = self._of_other_charts(candidates, found)
            if better is not None:
                return audited(*better, self.catalogue)
        return None if found is None else audited(found, candidates, self.catalogue)

    def _too_dear_on_cloth(self, brief: Brief) -> bool:
        """Tell whether kept fabric is seen to be too dear, or too little, for every chart."""
        if "fabric" not in self.catalogue.categories_of(brief.choose.keep):
            return False
        rows = CategoryRows(
            self.catalogue, brief, thin=True, memory=self._memory, within=brief.total_cap
        )
        return rows.too_dear_on_cloth

    def _of_other_charts(
        self, candidates: Candidates, found: Selection | None
    ) -> tuple[Selection, Candidates] | None:
        """Return a better selection with a chart that cannot lead but for a stricter brief."""
        others = other_leading(
            self.catalogue, candidates, found, time_limit=self.time_limit, memory=self._memory
        )
        if others is None:
            return None
        reached = None if found is None else weighed_points(found, candidates)
        other = proven(others, self.solver, self.time_limit, reached=reached)
        if other is None:
            return None
        if found is not None and rank(found, candidates) <= rank(other, others):
            return None
        return other, others

    def _subproblems(self, candidates: Candidates, known: Subproblems | None = None) -> Subproblems:
        """Return the charts of candidates, for all goods totals at which prices are sought."""
        least = candidates.most_goods(candidates.brief.total_cap)
        most = candidates.most_goods(beyond(self._price, candidates))
        return Subproblems(candidates, least, most, known=known, time_limit=self.time_limit)
