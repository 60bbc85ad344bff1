"""The whole way: catalogue and brief to the audited, proven best kit."""

from __future__ import annotations

from contextlib import suppress

from kitsolver.brief.brief import Brief
from kitsolver.brief.validate_against import validate_against
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.audited import audited
from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.chosen_rungs import ChosenRung
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.next_rung import next_rung
from kitsolver.solve.decomposition.search import by_chart
from kitsolver.solve.decomposition.subproblems import Subproblems
from kitsolver.solve.decomposition.tied_rung import tied_rung
from kitsolver.solve.engine import Engine, Solver
from kitsolver.solve.figures import Figures, figures, weighed_points
from kitsolver.solve.leading_charts import leading_candidates
from kitsolver.solve.outcome import ChartCount, Outcome, Rung, Status
from kitsolver.solve.planning.class_planning import class_plan
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.presolve.row_memory import RowMemory
from kitsolver.solve.search_result import Progress, SearchResult
from kitsolver.solve.tally import tally
from kitsolver.solve.time_limit import OutOfTime, TimeLimit


class SolversDisagree(Exception):
    """A second solver proved something else."""


def search(
    engine: Engine,
    candidates: Candidates,
    solver: Solver,
    time_limit: TimeLimit,
    progress: Progress | None = None,
    *,
    frontiers: bool = True,
    charts: Subproblems | None = None,
) -> SearchResult | None:
    """Return the best selection that an engine finds; None if there is none.

    Without `frontiers` every chart that is opened is a model for the solver; `charts` are those of
    the candidates, if something is known of them already.
    """
    if engine is Engine.ONE_SHOT:
        # A solver takes as long to import as a pick takes that needs none.
        from kitsolver.solve.model.questions import best

        return best(candidates, solver, time_limit, progress)
    return by_chart(candidates, solver, time_limit, progress, frontiers=frontiers, charts=charts)


def pick(
    catalogue: Catalogue,
    brief: Brief,
    *,
    engine: Engine = Engine.BY_CHART,
    solver: Solver = Solver.SCIP,
    seconds: float | None = None,
    confirm: bool = False,
    progress: Progress | None = None,
    validated: bool = False,
    memory: RowMemory | None = None,
) -> Outcome:
    """Return the proven best kit, or that there is none.

    Parameters
    ----------
    catalogue : Catalogue
        What is for sale.
    brief : Brief
        What is asked.
    engine : Engine
        Chart by chart, or the one model that defines the problem: the answer is the same.
    solver : Solver
        The mixed-integer solver of the one model, and of charts whose kits no frontier can tell.
    seconds : float, optional
        Time limit. When it passes, the best kit so far comes with its bound.
    confirm : bool
        Whether a second solver proves the answer again.
    progress : callable, optional
        Told the steps done and the steps there are.
    validated : bool
        Whether the brief was held against the catalogue before, so that it need not be again.
    memory : RowMemory, optional
        Of the same catalogue, for chart by chart only: what was found for earlier briefs that
        treat rows alike is used again.

    Raises
    ------
    BadInput
        If the brief names what the catalogue does not have.
    OutOfTime
        If the time limit passed before any kit was found.
    AuditFailed, SolversDisagree, SolverFault
        If the program is at fault.
    """
    time_limit = TimeLimit(seconds)
    if not validated:
        validate_against(brief, catalogue)
    if engine is Engine.BY_CHART and not confirm:
        candidates, considered = leading_candidates(
            catalogue, brief, solver=solver, time_limit=time_limit, memory=memory
        )
    else:
        # What is proven again is proven of all charts.
        thin = engine is Engine.BY_CHART
        candidates = find_candidates(
            catalogue, brief, thin=thin, memory=memory, time_limit=time_limit
        )
        considered = len(candidates.charts)
    time_limit.check()
    cap = brief.total_cap
    spendable, twice = map(candidates.most_goods, (cap, 2 * cap))
    charts = Subproblems(candidates, spendable, twice, time_limit=time_limit)
    found = search(engine, candidates, solver, time_limit, progress, charts=charts)
    confirmed = confirm and _confirmed(found, engine, candidates, solver.second, time_limit)
    if found is None:
        return Outcome(Status.NO_KIT, brief, row_counts=catalogue.row_counts, confirmed=confirmed)
    count = None
    if engine is Engine.BY_CHART:
        count = ChartCount(considered, found.opened)
    kit = audited(found.selection, candidates, catalogue)
    plan = class_plan(kit, found.selection, candidates, catalogue)
    above = None
    if found.proven:
        above = _next_rung(candidates, charts, found, solver, time_limit)
    return Outcome(
        Status.BEST if found.proven else Status.BEST_SO_FAR,
        brief,
        kit,
        found.bound,
        charts=count,
        next_rung=above,
        plan=plan,
        row_counts=catalogue.row_counts,
        confirmed=confirmed,
    )


def _next_rung(
    candidates: Candidates,
    charts: Subproblems,
    found: SearchResult,
    solver: Solver,
    time_limit: TimeLimit,
) -> Rung | None:
    """Return the first rung above the cap; None if it is left to the ladder, or there is none."""
    with suppress(OutOfTime, StateLimitReached):
        if candidates.tied:
            above = tied_rung(candidates, found, solver, time_limit)
        else:
            first = weighed_points(found.selection, candidates)
            better = next_rung(charts, candidates.brief.total_cap, first, time_limit)
            above = better and ChosenRung(better.paid, better.selection)
        if above is not None:
            return Rung(above.cap, figures(tally(above.selection, candidates), candidates))
    return None


def _confirmed(
    found: SearchResult | None,
    engine: Engine,
    candidates: Candidates,
    solver: Solver,
    time_limit: TimeLimit,
) -> bool:
    """Tell whether another solver proves the same in time.

    Raises
    ------
    SolversDisagree
        If it proves something else.
    """
    try:
        again = search(engine, candidates, solver, time_limit, frontiers=False)
    except OutOfTime:
        return False
    if not all(answer is None or answer.proven for answer in (found, again)):
        return False
    if _compared(found, candidates) != _compared(again, candidates):
        raise SolversDisagree(f"{solver} proved another answer")
    return True


def _compared(found: SearchResult | None, candidates: Candidates) -> Selection | Figures | None:
    """Return in what two answers must agree: in their figures alone where ties are not broken."""
    if found is None:
        return None
    if not candidates.many_colours:
        return found.selection
    return figures(tally(found.selection, candidates), candidates)
