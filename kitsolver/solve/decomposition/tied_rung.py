"""The first rung above a cap where rules tie choices: the cheapest kit that beats the best one.

Every kit that beats the best one at the cap costs more than the cap, so the first rung is at the
least that is paid for such a kit. For each chart there is a cap below which its upper bound shows
that it cannot hold one. Charts are asked for their cheapest such kit in the order of these caps,
until no chart is left that could have a cheaper one. Then the best kit at that cap is found among
the charts that have a kit there.

A chart's cheapest better kit is found on its frontier, if rules bar none of it, and else by a
model. If too many models are needed, the rung is left to the ladder.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from heapq import heapify, heappop
from math import ceil

import numpy as np

from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.branches import branches
from kitsolver.solve.decomposition.chosen_rungs import ChosenRung
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.objective import SCORE_UNIT
from kitsolver.solve.decomposition.opened_chart import kept, without_extras
from kitsolver.solve.decomposition.search import by_chart
from kitsolver.solve.decomposition.subproblems import Subproblems, with_chart
from kitsolver.solve.decomposition.target import at_goods
from kitsolver.solve.engine import Solver
from kitsolver.solve.figures import weighed_points
from kitsolver.solve.search_result import SearchResult
from kitsolver.solve.tally import tally
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

# Upper bounds are computed at so many caps, from the cap to twice the cap.
_CAPS = 64
# A rung is looked for first up to this part of the cap above it, where models are quick.
_NEAR = 16
# So many models are solved for each chart that was opened for the best kit, and for some more.
_MODELS_A_CHART, _MORE_CHARTS = 2, 3


def tied_rung(
    candidates: Candidates, best: SearchResult, solver: Solver, time_limit: TimeLimit
) -> ChosenRung | None:
    """Return the first rung above the cap, up to twice the cap; None if there is none.

    Parameters
    ----------
    best : SearchResult
        The proven best kit at the cap.

    Raises
    ------
    StateLimitReached
        If it takes too many models.
    OutOfTime, SolverFault
        As `kitsolver.solve.model.questions.best` does.
    """
    search = _CheapestBetter(candidates, best, solver, time_limit)
    cap = search.run()
    if cap is None:
        return None
    at_cap = replace(candidates, brief=candidates.brief.with_cap(cap))
    others = {chart.sku for chart in candidates.charts} - search.charts_at[cap]
    found = by_chart(at_cap, solver, time_limit, but=others)
    if found is None or not found.proven:
        raise OutOfTime
    return ChosenRung(cap, found.selection)


class _CheapestBetter:
    """The least that is paid for a kit that beats the best one."""

    def __init__(
        self, candidates: Candidates, best: SearchResult, solver: Solver, time_limit: TimeLimit
    ) -> None:
        self.cap = candidates.brief.total_cap
        self.solver, self.time_limit = solver, time_limit
        sums = tally(best.selection, candidates)
        self.first = weighed_points(best.selection, candidates)
        self.extras = None if candidates.brief.extras.together else int(100 * sums.extras)
        self.best = best.selection.chart.sku
        self.models = _MODELS_A_CHART * (best.opened + _MORE_CHARTS)
        twice = replace(candidates, brief=candidates.brief.with_cap(2 * self.cap))
        least, most = map(candidates.most_goods, (self.cap, 2 * self.cap))
        parts = branches(twice)
        self.parts = [
            Subproblems(part, least, most, time_limit=time_limit)
            for part in ([twice] if parts is None else parts)
        ]
        # By what is paid the charts of which a better kit is paid so.
        self.charts_at: dict[int, set[str]] = {}

    def run(self) -> int | None:
        """Return the least that is paid for a better kit, up to twice the cap; None without one."""
        above = [
            # With the chart of the best kit first: it may take but one more extra.
            (above, charts.candidates.charts[number].sku != self.best, part, number)
            for part, charts in enumerate(self.parts)
            for above, number in self._above(charts)
        ]
        near = self.cap + self.cap // _NEAR + 1
        return self._least_paid(above, min(near, 2 * self.cap)) or self._least_paid(
            above, 2 * self.cap
        )

    def _least_paid(self, above: list[tuple[int, bool, int, int]], most: int) -> int | None:
        """Return the least that is paid for a better kit, and no more than `most`."""
        waiting, least = above[:], most
        heapify(waiting)
        while waiting and waiting[0][0] < least:
            *_, part, number = heappop(waiting)
            charts = self.parts[part]
            paid = self._cheapest(charts, number, least)
            if paid is not None:
                self.charts_at.setdefault(paid, set()).add(charts.candidates.charts[number].sku)
                least = paid
        return least if least in self.charts_at else None

    def _above(self, charts: Subproblems) -> Iterator[tuple[int, int]]:
        """Yield for each chart a cap up to which it cannot hold a better kit, and its number."""
        reaching = [ceil(self.first * SCORE_UNIT * times) for times in charts.colours.tolist()]
        floors, last = np.maximum(0, np.array(reaching, dtype=object)), self.cap
        left = np.ones(len(floors), dtype=bool)
        for step in range(1, _CAPS + 1):
            cap = self.cap + ceil(Fraction(self.cap * step, _CAPS))
            at = charts.upper_bounds.at(charts.candidates.most_goods(cap))
            reach = left & np.asarray(at >= floors, dtype=np.bool_)
            yield from ((last, number) for number in np.flatnonzero(reach).tolist())
            left &= ~reach
            last = cap

    def _cheapest(self, charts: Subproblems, number: int, cap: int) -> int | None:
        """Return the least that is paid for a better kit of a chart; None if there is none.

        Parameters
        ----------
        cap : int
            No more is to be paid.
        """
        alone = with_chart(charts.candidates, charts.candidates.charts[number])
        if alone.relaxed_by_frontiers:
            target = at_goods(alone.most_goods(cap), self.first)
            chart = charts.chart_frontier(number, target.limit, target, self.time_limit)
            before = (self.first,) if self.extras is None else (self.first, Fraction(self.extras))
            better = [one for one in chart.breakpoints(cap) if one.figures[0] > before]
            if not better:
                return None
            least = min(one.paid for one in better)
            cheapest = (one for one in better if one.paid == least)
            if not alone.tied or any(kept(one.selection, alone) for one in cheapest):
                return least
        self.models -= 1
        if self.models < 0 or alone.many_colours:
            raise StateLimitReached
        # A solver takes as long to import as a pick takes that needs none.
        from kitsolver.solve.model.questions import cheapest_better

        equal = alone.extras and self.extras is not None
        equal = equal and (self.first * int(charts.colours[number])).denominator == 1
        asked, extras = (alone, self.extras) if equal else (without_extras(alone), None)
        found = cheapest_better(asked, self.solver, self.time_limit, cap, self.first, extras)
        if found is None:
            return None
        if not found.proven:
            raise OutOfTime
        return tally(found.selection, asked).receipt.payable
