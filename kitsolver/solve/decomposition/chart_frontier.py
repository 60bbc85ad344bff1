"""A chart with all its kits: from the steps of its staircase to choices."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, NamedTuple

import numpy as np

from kitsolver.solve.candidates.candidate import Candidate, Place, Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.frontier import Contents, Frontier, Numbers, StateLimitReached
from kitsolver.solve.decomposition.objective import Objective, objective_of
from kitsolver.solve.decomposition.subproblem import Slot, Subproblem
from kitsolver.solve.tally import tally
from kitsolver.solve.time_limit import TimeLimit


@dataclass(frozen=True)
class ChartFrontier:
    """A chart with all its kits.

    Parameters
    ----------
    candidates : Candidates
        What they are chosen from; the chart is the only one.
    worth : Objective
        What the steps' worths mean.
    frontier : Frontier
        By goods total.
    limit : int
        The goods total up to which they are all there.
    """

    candidates: Candidates
    worth: Objective
    frontier: Frontier
    limit: int

    def steps(self, cap: int) -> Iterator[Breakpoint]:
        """Return all steps whose payable sum is within `cap`."""
        return self._steps(*self._within(cap))

    def tops(self, cap: int) -> list[Breakpoint]:
        """Return the steps within `cap` that no other beats before it comes to what is paid."""
        cost, worth = self._within(cap)
        if not len(cost):
            return []
        counts = worth // self.worth.base if self.worth.together else worth
        top = counts == counts.max()
        return list(self._steps(cost[top], worth[top]))

    def _steps(self, cost: Numbers, worth: Numbers) -> Iterator[Breakpoint]:
        till = self.candidates.brief.register
        for goods, value in zip(cost.tolist(), worth.tolist(), strict=True):
            yield Breakpoint(self, goods, value, till.payable(goods))

    def _within(self, cap: int) -> tuple[Numbers, Numbers]:
        frontier = self.frontier
        within = np.zeros(len(frontier), dtype=bool)
        for low, high in self.candidates.brief.register.affordable(cap):
            within |= (low <= frontier.cost) & (frontier.cost <= high)
        return frontier.cost[within], frontier.worth[within]

    def selection(self, cost: int, worth: int) -> Selection:
        """Return the choice of a step, the smallest if there are several."""
        taken = self.frontier.trace_back(cost, worth)
        return self._shorter(taken, cost, worth) or _choice(taken)

    def _shorter(self, taken: Contents, cost: int, worth: int) -> Selection | None:
        """Return a choice with the same lines but some free ones at the end, if there is one.

        A list that ends comes before one that goes on. Staircases cannot tell, for what is added
        to both may turn that around.
        """
        free = {candidate.sku for candidate in map(_row, taken.goods) if not candidate.price}
        paid = len(taken.lines)
        while paid and taken.lines[paid - 1][1] in free:
            paid -= 1
        for ending in range(paid, len(taken.lines)):
            lines = taken.lines[:ending]
            rest = self.candidates.only({sku for _, sku, _ in lines})
            if not rest.charts or not (
                frontier := Subproblem(rest, self.worth, cost, TimeLimit()).frontier()
            ).has(cost, worth):
                continue
            again = frontier.trace_back(cost, worth)
            if again.lines == lines:
                return _choice(again)
        return None


class Breakpoint(NamedTuple):
    """A step of an opened chart, and what is paid for it."""

    chart_frontier: ChartFrontier
    cost: int
    worth: int
    paid: int

    @property
    def figures(self) -> tuple[tuple[Fraction, ...], Fraction]:
        """What counts before what is paid, and after it; comparable from chart to chart."""
        return self.chart_frontier.worth.figures(self.worth)

    @property
    def first(self) -> Fraction:
        """The first figure in weighed points."""
        return self.chart_frontier.worth.first(self.worth)

    @property
    def selection(self) -> Selection:
        """The smallest choice that makes the step."""
        return self.chart_frontier.selection(self.cost, self.worth)


def best_breakpoint(steps: Iterable[Breakpoint]) -> Breakpoint:
    """Return the best of some steps, ties told apart."""
    ranked = [(_rank(step), step) for step in steps]
    top = max(rank for rank, _ in ranked)
    best = [step for rank, step in ranked if rank == top]
    return best[0] if len(best) == 1 else min(best, key=_order)


def _rank(step: Breakpoint) -> tuple[tuple[Fraction, ...], int, Fraction]:
    before, after = step.figures
    return before, -step.paid, after


def _order(step: Breakpoint) -> tuple[object, ...]:
    """Return what kits of equal figures are told apart by: less comes first."""
    selection = step.selection
    units = sorted(tally(selection, step.chart_frontier.candidates).units.items())
    return units, [place.key for place in selection.places]


def chart_frontier(
    candidates: Candidates, limit: int, time_limit: TimeLimit | None = None, *, gap: bool = True
) -> ChartFrontier:
    """Return all kits of the one chart in `candidates` whose goods cost no more than `limit`.

    Parameters
    ----------
    gap : bool
        Whether to mind that dearer goods may be delivered free, where they may.

    Raises
    ------
    StateLimitReached
        If the choices of the chart are not for staircases.
    OutOfTime
        If there is no time left.
    """
    if candidates.tied:
        raise StateLimitReached
    worth = objective_of(candidates)
    frontier = Subproblem(candidates, worth, limit, time_limit or TimeLimit(), gap=gap).frontier()
    return ChartFrontier(candidates, worth, frontier, limit)


def _choice(taken: Contents) -> Selection:
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
