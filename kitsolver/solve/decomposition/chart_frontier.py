"""The kits of one chart as a frontier, and the way from a breakpoint back to a selection."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, NamedTuple

import numpy as np

from kitsolver.solve.candidates.candidate import Candidate, Place, Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.contents import Contents
from kitsolver.solve.decomposition.frontier import Frontier
from kitsolver.solve.decomposition.objective import Objective
from kitsolver.solve.decomposition.pareto import Numbers
from kitsolver.solve.decomposition.row_parts import Slot
from kitsolver.solve.decomposition.subproblem import Subproblem
from kitsolver.solve.decomposition.target import Target
from kitsolver.solve.tally import tally
from kitsolver.solve.time_limit import TimeLimit


@dataclass(frozen=True)
class ChartFrontier:
    """The kits of one chart.

    Parameters
    ----------
    candidates : Candidates
        What they are chosen from; the chart is the only one.
    objective : Objective
        What the breakpoints' worths mean.
    frontier : Frontier
        By goods total.
    """

    candidates: Candidates
    objective: Objective
    frontier: Frontier

    def breakpoints(self, cap: int) -> Iterator[Breakpoint]:
        """Yield all breakpoints whose payable sum is within `cap`."""
        return self._breakpoints(*self._within(cap))

    def tops(self, cap: int) -> list[Breakpoint]:
        """Return the breakpoints within `cap` with the most before it comes to what is paid."""
        cost, worth = self._within(cap)
        if not len(cost):
            return []
        counts = worth // self.objective.base if self.objective.together else worth
        top = counts == counts.max()
        return list(self._breakpoints(cost[top], worth[top]))

    def best_first(self, cap: int) -> Fraction:
        """Return the best first figure within `cap`, in weighed points; 0 if there is no kit."""
        _, worth = self._within(cap)
        return self.objective.first(int(worth.max())) if len(worth) else Fraction(0)

    def _breakpoints(self, cost: Numbers, worth: Numbers) -> Iterator[Breakpoint]:
        till = self.candidates.brief.exact_till
        for goods, value in zip(cost.tolist(), worth.tolist(), strict=True):
            yield Breakpoint(self, goods, value, till.payable(goods))

    def _within(self, cap: int) -> tuple[Numbers, Numbers]:
        frontier = self.frontier
        within = np.zeros(len(frontier), dtype=bool)
        for low, high in self.candidates.brief.exact_till.affordable(cap):
            within |= (low <= frontier.cost) & (frontier.cost <= high)
        return frontier.cost[within], frontier.worth[within]

    def selection(self, cost: int, worth: int) -> Selection:
        """Return the selection of a breakpoint, the smallest if there are several."""
        taken = self.frontier.trace_back(cost, worth)
        return self._shorter(taken, cost, worth) or selection_of(taken)

    def _shorter(self, taken: Contents, cost: int, worth: int) -> Selection | None:
        """Return a selection with the same lines but some free ones at the end, if there is one.

        A list of lines that ends comes before one that goes on. Frontiers cannot decide that, for
        what is added to both may turn it around.
        """
        units = {sku: number for _, sku, number in taken.lines}
        free = {row.sku for row in map(_row, taken.goods) if not row.cost_of(units.get(row.sku, 0))}
        paid = len(taken.lines)
        while paid and taken.lines[paid - 1][1] in free:
            paid -= 1
        for ending in range(paid, len(taken.lines)):
            lines = taken.lines[:ending]
            rest = self.candidates.only({sku for _, sku, _ in lines})
            if not rest.charts:
                continue
            subproblem = Subproblem(rest, self.objective, cost, TimeLimit())
            frontier = subproblem.frontier(cost, None, TimeLimit())
            if frontier.has(cost, worth):
                again = frontier.trace_back(cost, worth)
                if again.lines == lines:
                    return selection_of(again)
        return None


class Breakpoint(NamedTuple):
    """A breakpoint of a chart's frontier, and what is paid for it."""

    chart_frontier: ChartFrontier
    cost: int
    worth: int
    paid: int

    @property
    def figures(self) -> tuple[tuple[Fraction, ...], Fraction]:
        """What counts before what is paid, and after it; comparable from chart to chart."""
        return self.chart_frontier.objective.figures(self.worth)

    @property
    def first(self) -> Fraction:
        """The first figure in weighed points."""
        return self.chart_frontier.objective.first(self.worth)

    @property
    def selection(self) -> Selection:
        """The smallest selection that comes to it."""
        return self.chart_frontier.selection(self.cost, self.worth)


def best_breakpoint(breakpoints: Iterable[Breakpoint]) -> Breakpoint:
    """Return the best of some breakpoints, by the tie-break where they are equal."""
    ranked = [(_rank(one), one) for one in breakpoints]
    top = max(rank for rank, _ in ranked)
    best = [one for rank, one in ranked if rank == top]
    return best[0] if len(best) == 1 else min(best, key=_tie_break)


def _rank(one: Breakpoint) -> tuple[tuple[Fraction, ...], int, Fraction]:
    before, after = one.figures
    return before, -one.paid, after


def _tie_break(one: Breakpoint) -> tuple[object, ...]:
    """Return what decides between kits of equal figures: less comes first."""
    selection = one.selection
    units = sorted(tally(selection, one.chart_frontier.candidates).units.items())
    return units, [place.key for place in selection.places]


def chart_frontier(
    subproblem: Subproblem, limit: int, target: Target | None, time_limit: TimeLimit
) -> ChartFrontier:
    """Return the kits of a chart whose goods cost no more than `limit`.

    Parameters
    ----------
    target : Target, optional
        What kits must reach. All that do are there, and there may be others.

    Raises
    ------
    StateLimitReached
        If the choices of the chart make too many states.
    OutOfTime
        If there is no time left.
    """
    frontier = subproblem.frontier(limit, target, time_limit)
    return ChartFrontier(subproblem.candidates, subproblem.objective, frontier)


def selection_of(taken: Contents) -> Selection:
    """Return a selection from what was traced back."""
    slots: dict[Any, list[Any]] = defaultdict(list)
    places = {}
    for slot, thing in taken.goods:
        if isinstance(thing, Place):
            places[slot] = thing
        else:
            slots[slot].append(thing)
    return Selection(
        needs={row.category: row for row in slots[Slot.NEED]},
        places=tuple(places[colour] for colour in sorted(places)),
        extras=tuple(sorted(slots[Slot.EXTRA], key=lambda extra: extra.sku)),
    )


def _row(good: tuple[Any, Candidate | Place]) -> Candidate:
    _, thing = good
    return thing.thread if isinstance(thing, Place) else thing
