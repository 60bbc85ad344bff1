"""The whole way: catalogue and brief to the audited, proven best kit."""

from __future__ import annotations

from dataclasses import replace
from enum import StrEnum

from kitsolver.brief.against import hold_against
from kitsolver.brief.asked import Brief
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.audit.audit import audit
from kitsolver.solve.audit.evidence import Claim, Piece
from kitsolver.solve.bychart.bychart import by_chart
from kitsolver.solve.entry.offers import Offers, offers
from kitsolver.solve.kit import kit_of
from kitsolver.solve.model.best import Found, Progress, best
from kitsolver.solve.model.solver import Clock, OutOfTime, Solver
from kitsolver.solve.nokit import because
from kitsolver.solve.outcome import Kit, Outcome, Status


class AuditFailed(Exception):
    """A kit that breaks a rule came out of the search; it is never shown as a kit.

    Parameters
    ----------
    kit : Kit
        With its checks.
    """

    def __init__(self, kit: Kit) -> None:
        self.failed = tuple(check for check in kit.checks if check.holds is False)
        super().__init__("; ".join(f"{check.rule}: {check.detail}" for check in self.failed))


class SolversDisagree(Exception):
    """A second solver proved something else."""


class Engine(StrEnum):
    """A way to the best kit."""

    BY_CHART = "bychart"
    ONE_SHOT = "oneshot"

    def search(
        self, choices: Offers, solver: Solver, clock: Clock, progress: Progress | None = None
    ) -> Found | None:
        """Return the best choice found; None if there is none, or a kept sku cannot enter."""
        if choices.lost:
            return None
        way = best if self is Engine.ONE_SHOT else by_chart
        return way(choices, solver, clock, progress)


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
    """Return the proven best kit, or why there is none.

    Parameters
    ----------
    catalogue : Catalogue
        What is for sale.
    brief : Brief
        What is asked.
    engine : Engine
        Chart by chart, or the one model that defines the problem: the answer is the same.
    solver : Solver
        The mixed-integer solver behind either.
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
    found = engine.search(choices, solver, clock, progress)
    if confirm:
        _confirm(found, engine, choices, solver.second, clock)
    if found is None:
        return Outcome(Status.NO_KIT, brief, why=because(choices, solver, clock))
    kit = kit_of(found.choice, choices, catalogue)
    kit = replace(kit, checks=audit(_claim(kit), catalogue, brief))
    if any(check.holds is False for check in kit.checks):
        raise AuditFailed(kit)
    status = Status.BEST if found.proven else Status.BEST_SO_FAR
    return Outcome(status, brief, kit, found.bound)


def _confirm(
    found: Found | None, engine: Engine, choices: Offers, solver: Solver, clock: Clock
) -> None:
    try:
        again = engine.search(choices, solver, clock)
    except OutOfTime:
        return
    proven = all(answer is None or answer.proven for answer in (found, again))
    if proven and (found and found.choice) != (again and again.choice):
        raise SolversDisagree(f"{solver} proved another answer")


def _claim(kit: Kit) -> Claim:
    """Return what a kit says of itself, for the audit."""
    sums = kit.receipt
    return Claim(
        lines=tuple(
            Piece(line.sku, line.category, line.role, line.units, line.price) for line in kit.lines
        ),
        shades=kit.shades,
        goods=sums.goods,
        discount=sums.discount,
        delivery=sums.delivery,
        tax=sums.tax,
        payable=sums.payable,
        quality=kit.figures.quality,
        extras=kit.figures.extras,
    )
