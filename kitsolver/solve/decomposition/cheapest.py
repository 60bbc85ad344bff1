"""The least that is paid for any kit, whatever the cap, chart by chart."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from typing import NamedTuple

from kitsolver.shop.till import NO_CAP
from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.branches import branches
from kitsolver.solve.decomposition.chart_frontier import ChartFrontier, chart_frontier
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.objective import objective_of
from kitsolver.solve.decomposition.opened_chart import kept, without_extras
from kitsolver.solve.decomposition.subproblem import Subproblem
from kitsolver.solve.decomposition.subproblems import with_chart
from kitsolver.solve.decomposition.target import at_goods
from kitsolver.solve.decomposition.upper_bound import goods_lower_bounds
from kitsolver.solve.engine import Solver
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

# So far beyond the lower bound of a chart's goods its cheapest kit is sought, then anywhere.
_BEYOND = (1 / 128, 1 / 32, 1 / 8, 1 / 2, 2.0)


def least_payable(
    candidates: Candidates, solver: Solver, time_limit: TimeLimit, *, enough: int = -1
) -> int | None:
    """Return the least that is paid for any kit, whatever the cap; None if there is none.

    Parameters
    ----------
    enough : int
        In minor units: no kit is looked for that comes to less than one that comes to this.

    Raises
    ------
    OutOfTime, SolverFault
        As `kitsolver.solve.model.questions.best` does.
    """
    if candidates.infeasible:
        return None
    parts = branches(candidates)
    least: int | None = None
    for part in [candidates] if parts is None else parts:
        least = _least_by_chart(part, solver, time_limit, enough, least)
        if least is not None and least <= enough:
            break
    return least


def _least_by_chart(
    candidates: Candidates, solver: Solver, time_limit: TimeLimit, enough: int, least: int | None
) -> int | None:
    """Return the least that is paid for any kit, or `least` if that is less."""
    order = [
        (candidates.least_paid(floor), chart)
        for floor, chart in zip(goods_lower_bounds(candidates), candidates.charts, strict=True)
        if floor is not None
    ]
    order.sort(key=lambda pair: (pair[0], pair[1].sku))
    for bound, chart in order:
        if least is not None and (least <= enough or bound >= least):
            break
        paid = _least_paid(with_chart(candidates, chart), solver, time_limit, least)
        least = min((p for p in (paid, least) if p is not None), default=None)
    return least


def _least_paid(
    alone: Candidates, solver: Solver, time_limit: TimeLimit, least: int | None
) -> int | None:
    """Return the least that is paid for a kit with one chart; None if there is none.

    None, too, if it is known that it is no less than `least`.
    """
    lean = without_extras(alone)
    if alone.relaxed_by_frontiers:
        with suppress(StateLimitReached):
            bound = _least_of_frontiers(lean, time_limit)
            if bound is None or not alone.tied or (least is not None and bound.paid >= least):
                return bound and bound.paid
            if bound.selection is not None and kept(bound.selection, lean):
                return bound.paid
    # A solver takes as long to import as a pick takes that needs none.
    from kitsolver.solve.model.questions import cheapest

    found = cheapest(lean, solver, time_limit)
    if found is not None and not found.proven:
        raise OutOfTime
    return found.bound.payable if found else None


class _Cheapest(NamedTuple):
    """The least that is paid, and a selection for it where one is known."""

    paid: int
    selection: Selection | None = None


def _least_of_frontiers(lean: Candidates, time_limit: TimeLimit) -> _Cheapest | None:
    """Return the least that is paid, from frontiers on which nothing but money counts."""
    worthless = replace(
        lean,
        weights=dict.fromkeys(lean.weights, 0),
        extras=tuple(replace(extra, points=0) for extra in lean.extras),
    )
    found, till = _least_goods(worthless, time_limit), lean.brief.exact_till
    if found is None:
        return None
    goods, worth = int(found.frontier.cost[0]), int(found.frontier.worth[0])
    paid = till.payable(goods)
    most = till.most_goods(paid)
    if not goods < till.free_from <= most:
        return _Cheapest(paid, found.selection(goods, worth) if lean.tied else None)
    # The cheapest goods are not delivered free, but dearer ones may be.
    subproblem = Subproblem(worthless, objective_of(worthless), most, time_limit)
    dearer = chart_frontier(subproblem, most, at_goods(most), time_limit)
    return _Cheapest(min(one.paid for one in dearer.breakpoints(NO_CAP)))


def _least_goods(worthless: Candidates, time_limit: TimeLimit) -> ChartFrontier | None:
    """Return a frontier that begins with the least goods total of a kit; None if there is none."""
    objective = objective_of(worthless)
    subproblem = Subproblem(worthless, objective, NO_CAP, time_limit, gap=False)
    bound = subproblem.goods_lower_bound
    if bound is None:
        return None
    for beyond in _BEYOND:
        most = bound + int(bound * beyond) + 1
        found = chart_frontier(subproblem, most, at_goods(most), time_limit)
        if len(found.frontier):
            return found
    found = chart_frontier(subproblem, NO_CAP, None, time_limit)
    return found if len(found.frontier) else None
