"""What is paid for the cheapest kit, and for any kit within a limit, chart by chart.

Charts are taken by a lower bound of what is paid with them. What a chart comes to is read off a
frontier on which nothing but money counts. A question for any kit within a limit is over as soon as
one is found, or the bounds of all charts that are left exceed the limit.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import NamedTuple

from kitsolver.shop.till import NO_CAP
from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.branches import branches
from kitsolver.solve.decomposition.chart_frontier import ChartFrontier, chart_frontier
from kitsolver.solve.decomposition.counted_kits import CountedKits
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.greedy_kit import GreedyKit, greedy_kits
from kitsolver.solve.decomposition.limited_sums import LimitedSums, PricedSum
from kitsolver.solve.decomposition.objective import objective_of
from kitsolver.solve.decomposition.opened_chart import (
    as_offered,
    kept,
    without_extras,
    worthless,
)
from kitsolver.solve.decomposition.subproblem import Subproblem
from kitsolver.solve.decomposition.subproblems import with_chart
from kitsolver.solve.decomposition.target import at_goods, limits_beyond
from kitsolver.solve.engine import Solver
from kitsolver.solve.tally import tally
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

# Rules that frontiers may ignore: a selection of theirs is held against them afterwards.
_RELAXED = frozenset({"limits", "pairs", "alike", "margin"})


class Payable(NamedTuple):
    """A kit, by what is paid for it.

    Parameters
    ----------
    paid : int
        In minor units.
    chart : str
        The sku of its chart.
    selection : Selection, optional
        What it holds; always known where rules of one's own, or a margin, tie choices.
    """

    paid: int
    chart: str
    selection: Selection | None = None


def least_payable(
    candidates: Candidates, solver: Solver, time_limit: TimeLimit, *, at_most: int = NO_CAP
) -> int | None:
    """Return the least that is paid for any kit, whatever the cap; None if there is none.

    Parameters
    ----------
    at_most : int
        What is paid for a kit that is known, in minor units.

    Raises
    ------
    OutOfTime, SolverFault
        As `kitsolver.solve.model.questions.best` does.
    """
    found = _Question(solver, time_limit, least=True).answer(candidates, at_most)
    return found and found.paid


def kit_within(
    candidates: Candidates,
    limit: int,
    solver: Solver,
    time_limit: TimeLimit,
    *,
    least: bool = False,
) -> Payable | None:
    """Return some kit that comes to no more than a limit; None if none does.

    Parameters
    ----------
    limit : int
        In minor units. It stands in for the cap.
    least : bool
        Whether it is to be the kit for which least is paid.

    Raises
    ------
    OutOfTime, SolverFault
        As `kitsolver.solve.model.questions.best` does.
    """
    return _Question(solver, time_limit, least=least).answer(candidates, limit)


@dataclass(frozen=True)
class _Question:
    """What is asked of every chart.

    Parameters
    ----------
    least : bool
        Whether the kit for which least is paid is asked for, and not any within the limit.
    """

    solver: Solver
    time_limit: TimeLimit
    least: bool

    def answer(self, candidates: Candidates, limit: int) -> Payable | None:
        """Return a kit within a limit; None if there is none."""
        if candidates.infeasible:
            return None
        sums = LimitedSums(candidates, limit, self.time_limit)
        parts = branches(candidates, _RELAXED)
        if parts is None:
            return self._by_chart(candidates, limit, sums)
        if len(parts) > 1 and not candidates.free:
            # Bounds of all branches at once leave few charts to each of them; those of free colours
            # are dear, and close only in a branch.
            charts = {chart.sku for _, chart in sums.promising(limit)}
            left = [_with_charts(part, charts) for part in parts] if charts else []
            parts = [part for part in left if part.charts]
        found: Payable | None = None
        for part in parts:
            better = self._by_chart(part, limit, sums.of_branch(part, limit))
            if better is not None:
                found, limit = better, better.paid - 1
                if not self.least:
                    break
        return found

    def _by_chart(self, candidates: Candidates, limit: int, sums: LimitedSums) -> Payable | None:
        found: Payable | None = None
        for bound, chart in sums.promising(limit, any_kit=not self.least):
            if bound > limit:
                break
            better = self._of_chart(with_chart(candidates, chart), limit, sums)
            if better is not None:
                found, limit = better, better.paid - 1
                if not self.least:
                    break
        return found

    def _of_chart(self, alone: Candidates, limit: int, sums: LimitedSums) -> Payable | None:
        """Return a kit with the only chart, within a limit; None without one."""
        lean, (chart,) = without_extras(alone), alone.charts
        if set(alone.tied_by) <= _RELAXED:
            with suppress(StateLimitReached):
                for greatest in () if lean.free else sums.greatest:
                    kits = CountedKits(greatest)
                    # The cheapest, where dearer goods are never cheaper to have, and the greatest.
                    asked = chart, limit, lean, self.time_limit
                    if not self.least:
                        for quick in kits.greedy_selections(*asked):
                            if _obeys(quick, lean, limit):
                                return Payable(_paid(quick, lean), chart.sku, quick)
                    gap = self.least and lean.brief.exact_till.has_gap
                    if not gap:
                        likely = kits.likely_selection(*asked, cheapest=self.least)
                        if likely is not None and _obeys(likely, lean, limit):
                            return Payable(_paid(likely, lean), chart.sku, likely)
                    enough = kits.cheapest_selections(*asked)
                    if not enough:
                        return None
                    if self.least:
                        enough = [] if gap else enough[:1]
                    for kit in enough:
                        if _obeys(kit, lean, limit):
                            return Payable(_paid(kit, lean), chart.sku, kit)
                found = self._of_frontiers(lean, limit)
                if found is None or not alone.tied:
                    return found
                if found.selection is not None and kept(found.selection, lean):
                    return found
                for one in sums.priced:
                    selection = self._least_of(one, lean, limit)
                    if selection is None:
                        return None
                    if not self.least and _obeys(selection, lean, limit):
                        return Payable(_paid(selection, lean), chart.sku, selection)
        # A solver takes as long to import as a pick takes that needs none.
        from kitsolver.solve.model.questions import cheapest, within

        ask = cheapest if self.least else within
        answer = ask(lean, limit, self.solver, self.time_limit)
        if answer is not None and not answer.proven:
            raise OutOfTime
        return Payable(answer.bound.payable, chart.sku, answer.selection) if answer else None

    def _of_frontiers(self, lean: Candidates, limit: int) -> Payable | None:
        """Return a kit within a limit, from frontiers on which nothing but money counts.

        Of what is tied it is the kit for which least is paid, before rules of one's own.
        """
        lean_by_money, till = worthless(lean), lean.brief.exact_till
        sku = lean.charts[0].sku
        most = till.most_goods(limit)

        def obeys(one: GreedyKit) -> bool:
            return (
                _obeys(one.selection, lean, limit)
                if lean.tied
                else till.payable(one.goods) <= limit
            )

        found = self._least_goods(lean_by_money, most, obeys)
        if found is None:
            return None
        if isinstance(found, GreedyKit):
            return Payable(till.payable(found.goods), sku, found.selection if lean.tied else None)
        goods, worth = int(found.frontier.cost[0]), int(found.frontier.worth[0])
        paid = till.payable(goods)
        if not goods < till.free_from <= till.most_goods(min(paid, limit)):
            selection = found.selection(goods, worth) if lean.tied else None
            return Payable(paid, sku, selection)
        # The cheapest goods are not delivered free, but dearer ones may be.
        objective = objective_of(lean_by_money)
        subproblem = Subproblem(lean_by_money, objective, most, self.time_limit)
        dearer = chart_frontier(subproblem, most, at_goods(most), self.time_limit)
        within = [one.paid for one in dearer.breakpoints(limit)]
        return Payable(min(within), sku) if within else None

    def _least_of(self, priced: PricedSum, lean: Candidates, limit: int) -> Selection | None:
        """Return a selection with the least of a limited sum; None if that is above its limit.

        Or, if no more is asked, another kit that is within all limits.
        """
        (sku,) = (chart.sku for chart in lean.charts)
        (chart,) = (chart for chart in priced.candidates.charts if chart.sku == sku)
        alone = worthless(without_extras(with_chart(priced.candidates, chart)))
        found = self._least_goods(
            alone, priced.most, lambda one: _obeys(as_offered(one.selection, lean), lean, limit)
        )
        if found is None:
            return None
        if isinstance(found, GreedyKit):
            return as_offered(found.selection, lean)
        goods, worth = int(found.frontier.cost[0]), int(found.frontier.worth[0])
        return as_offered(found.selection(goods, worth), lean)

    def _least_goods(
        self, by_money: Candidates, most: int, obeys: Callable[[GreedyKit], bool]
    ) -> ChartFrontier | GreedyKit | None:
        """Return a frontier that begins with the least goods total of a kit; None if there is none.

        Or, if no more is asked, another kit that is quickly found.

        Parameters
        ----------
        most : int
            Kits of a higher goods total are of no interest.
        obeys : callable
            Whether a kit is within all limits.
        """
        subproblem = Subproblem.of_money(by_money, most, self.time_limit)
        bound = subproblem.goods_lower_bound
        if bound is None or bound > most:
            return None
        # The least goods total may not be the least that is paid where dearer goods are free of
        # delivery.
        till = by_money.brief.exact_till
        dearer_is_less = till.least(bound) < till.payable(bound)
        enough = most if not self.least else -1 if dearer_is_less else bound
        for greedy in greedy_kits(subproblem) if enough >= bound else ():
            if greedy.goods <= enough and obeys(greedy):
                return greedy
            # The cheapest kit comes to no more than this one.
            most = min(most, greedy.goods) if self.least else most
        for near in limits_beyond(bound, most):
            found = chart_frontier(subproblem, near, at_goods(near), self.time_limit)
            if len(found.frontier):
                return found
            if near == most:
                return None
        found = chart_frontier(subproblem, most, None, self.time_limit)
        return found if len(found.frontier) else None


def _with_charts(candidates: Candidates, skus: Collection[str]) -> Candidates:
    charts = tuple(chart for chart in candidates.charts if chart.sku in skus)
    return replace(candidates, needs={**candidates.needs, "chart": charts})


def _obeys(selection: Selection, lean: Candidates, limit: int) -> bool:
    """Tell whether a selection keeps to rules of one's own, and is paid within a limit."""
    return _paid(selection, lean) <= limit and kept(selection, lean)


def _paid(selection: Selection, lean: Candidates) -> int:
    return tally(selection, lean).receipt.payable
