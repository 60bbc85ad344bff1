"""The answer to a brief: the best kit, or why there is none."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from kitsolver.brief.brief import Brief
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.showing import html_of
from kitsolver.solve.engine import Solver
from kitsolver.solve.outcome import Outcome, Status
from kitsolver.solve.pick import pick
from kitsolver.solve.time_limit import TimeLimit

if TYPE_CHECKING:
    from kitsolver.explain.no_kit.why_no_kit import NoKit


class Answer(NamedTuple):
    """What a pick came to, and why if there is no kit."""

    outcome: Outcome
    why: NoKit | None

    def _repr_html_(self) -> str:
        return html_of(self)


def answer(
    catalogue: Catalogue,
    brief: Brief,
    *,
    solver: Solver = Solver.SCIP,
    seconds: float | None = None,
    **how: Any,
) -> Answer:
    """Return the best kit, or why there is none; the time limit is for both.

    Takes and raises what `kitsolver.solve.pick.pick` does.
    """
    time_limit = TimeLimit(seconds)
    outcome = pick(catalogue, brief, solver=solver, seconds=time_limit.left, **how)
    if outcome.status is not Status.NO_KIT:
        return Answer(outcome, None)
    # Not needed where there is a kit, and not quick to import.
    from kitsolver.explain.no_kit.why_no_kit import why_no_kit

    return Answer(outcome, why_no_kit(catalogue, brief, solver=solver, time_limit=time_limit))
