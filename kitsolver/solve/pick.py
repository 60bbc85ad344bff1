"""The whole way: catalogue and brief to the audited, proven best kit."""

from __future__ import annotations

from contextlib import suppress
from enum import StrEnum

from kitsolver.brief.validate_against import hold_against
from kitsolver.brief.brief import Brief
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.audited import audited
from kitsolver.solve.decomposition.search import by_chart
from kitsolver.solve.decomposition.subproblems import Charts
from kitsolver.solve.decomposition.sweep import rungs
from kitsolver.solve.class_plan import class_plan
from kitsolver.solve.candidates.candidates import Offers, offers
from kitsolver.solve.model.questions import best
from kitsolver.solve.model.figures import figures
from kitsolver.solve.model.lexicographic import Found, Progress
from kitsolver.solve.model.solver import Clock, OutOfTime, Solver
from kitsolver.solve.outcome import ChartCount, Outcome, Rung, Status
from kitsolver.solve.tally import tally


class SolversDisagree(Exception):
    """A second solver proved something else."""


class Engine(StrEnum):
    """A way to the best kit."""

    BY_CHART = "bychart"
    ONE_SHOT = "oneshot"

    def search(
        self,
        choices: Offers,
        solver: Solver,
        clock: Clock,
        progress: Progress | None = None,
        *,
        staircases: bool = True,
        charts: Charts | None = None,
    ) -> Found | None:
        """Return the best choice found; None if there is none.

        Without `staircases` every chart that is opened is a model for the solver; `charts` are
        those of the choices, if something is known of them already.
        """
        if self is Engine.ONE_SHOT:
            return best(choices, solver, clock, progress)
        return by_chart(choices, solver, clock, progress, staircases=staircases, charts=charts)


def pick(
    catalogue: Catalogue,
    brief: Brief,
    *,
    engine: Engine = Engine.BY_CHART,
    solver: Solver = Solver.SCIP,
    seconds: float | None = None,
    confirm: bool = False,
    progress: Progress | None = None,
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
        The mixed-integer solver behind the one model, and behind charts that are not for
        staircases.
    seconds : float, optional
        Time limit. When it passes, the best kit so far comes with its bound.
    confirm : bool
        Whether a second solver proves the answer again.
    progress : callable, optional
        Told the steps done and the steps there are.

    Raises
    ------
    BadInput
        If the brief names what the catalogue does not have.
    OutOfTime
        If the time limit passed before any kit was found.
    AuditFailed, SolversDisagree, SolverFault
        If the program is at fault.
    """
    hold_against(brief, catalogue)
    clock = Clock(seconds)
    choices = offers(catalogue, brief, thin=engine is Engine.BY_CHART)
    cap = brief.total_cap
    spendable, twice, near_by = map(choices.spendable, (cap, 2 * cap, _near_by(cap)))
    charts = Charts(choices, spendable, twice, ahead=near_by)
    found = engine.search(choices, solver, clock, progress, charts=charts)
    if confirm:
        _confirm(found, engine, choices, solver.second, clock)
    if found is None:
        return Outcome(Status.NO_KIT, brief)
    count = None
    if engine is Engine.BY_CHART:
        count = ChartCount(len(choices.charts), found.opened)
    kit = audited(found.choice, choices, catalogue)
    plan = class_plan(kit, found.choice, choices, catalogue)
    if not found.proven:
        return Outcome(Status.BEST_SO_FAR, brief, kit, found.bound, charts=count, plan=plan)
    above = None
    if not choices.beyond_staircases:
        above = _next_rung(choices, charts, solver, clock)
    return Outcome(Status.BEST, brief, kit, found.bound, charts=count, next_rung=above, plan=plan)


def _near_by(cap: int) -> int:
    """Return up to which cap the next rung is looked for first."""
    return cap + cap // 10 + 1


def _next_rung(choices: Offers, charts: Charts, solver: Solver, clock: Clock) -> Rung | None:
    """Return the first rung above the cap, looked for near by first; none beyond twice the cap."""
    cap = choices.brief.total_cap
    for high in (_near_by(cap), 2 * cap):
        with suppress(OutOfTime):
            for rung in rungs(choices, cap, high, solver, clock, charts=charts).rungs:
                if rung.cap > cap:
                    return Rung(rung.cap, figures(tally(rung.choice, choices), choices))
    return None


def _confirm(
    found: Found | None, engine: Engine, choices: Offers, solver: Solver, clock: Clock
) -> None:
    try:
        again = engine.search(choices, solver, clock, staircases=False)
    except OutOfTime:
        return
    proven = all(answer is None or answer.proven for answer in (found, again))
    if proven and (found and found.choice) != (again and again.choice):
        raise SolversDisagree(f"{solver} proved another answer")
