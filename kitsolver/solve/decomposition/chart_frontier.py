"""A chart with all its kits: from the steps of its staircase to choices."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, NamedTuple

import numpy as np

from kitsolver.solve.decomposition.subproblem import Opening, Slot
from kitsolver.solve.decomposition.frontier import Numbers, Staircase, Taken, TooTangled
from kitsolver.solve.decomposition.objective import Worth, worth_of
from kitsolver.solve.candidates.candidate import Choice, Offer, Place
from kitsolver.solve.candidates.candidates import Offers
from kitsolver.solve.model.solver import Clock
from kitsolver.solve.tally import tally


@dataclass(frozen=True)
class Opened:
    """A chart with all its kits.

    Parameters
    ----------
    offers : Offers
        What they are chosen from; the chart is the only one.
    worth : Worth
        What the steps' worths mean.
    stairs : Staircase
        By goods total.
    limit : int
        The goods total up to which they are all there.
    """

    offers: Offers
    worth: Worth
    stairs: Staircase
    limit: int

    def steps(self, cap: int) -> Iterator[Step]:
        """Return all steps whose payable sum is within `cap`."""
        return self._steps(*self._within(cap))

    def tops(self, cap: int) -> list[Step]:
        """Return the steps within `cap` that no other beats before it comes to what is paid."""
        cost, worth = self._within(cap)
        if not len(cost):
            return []
        counts = worth // self.worth.base if self.worth.together else worth
        top = counts == counts.max()
        return list(self._steps(cost[top], worth[top]))

    def _steps(self, cost: Numbers, worth: Numbers) -> Iterator[Step]:
        till = self.offers.brief.register
        for goods, value in zip(cost.tolist(), worth.tolist(), strict=True):
            yield Step(self, goods, value, till.payable(goods))

    def _within(self, cap: int) -> tuple[Numbers, Numbers]:
        stairs = self.stairs
        within = np.zeros(len(stairs), dtype=bool)
        for low, high in self.offers.brief.register.affordable(cap):
            within |= (low <= stairs.cost) & (stairs.cost <= high)
        return stairs.cost[within], stairs.worth[within]

    def choice(self, cost: int, worth: int) -> Choice:
        """Return the choice of a step, the smallest if there are several."""
        taken = self.stairs.unfold(cost, worth)
        return self._shorter(taken, cost, worth) or _choice(taken)

    def _shorter(self, taken: Taken, cost: int, worth: int) -> Choice | None:
        """Return a choice with the same lines but some free ones at the end, if there is one.

        A list that ends comes before one that goes on. Staircases cannot tell, for what is added
        to both may turn that around.
        """
        free = {offer.sku for offer in map(_row, taken.goods) if not offer.price}
        paid = len(taken.lines)
        while paid and taken.lines[paid - 1][1] in free:
            paid -= 1
        for ending in range(paid, len(taken.lines)):
            lines = taken.lines[:ending]
            rest = self.offers.only({sku for _, sku, _ in lines})
            if not rest.charts or not (
                stairs := Opening(rest, self.worth, cost, Clock()).staircase()
            ).has(cost, worth):
                continue
            again = stairs.unfold(cost, worth)
            if again.lines == lines:
                return _choice(again)
        return None


class Step(NamedTuple):
    """A step of an opened chart, and what is paid for it."""

    opened: Opened
    cost: int
    worth: int
    paid: int

    @property
    def figures(self) -> tuple[tuple[Fraction, ...], Fraction]:
        """What counts before what is paid, and after it; comparable from chart to chart."""
        return self.opened.worth.figures(self.worth)

    @property
    def first(self) -> Fraction:
        """The first figure in weighed points."""
        return self.opened.worth.first(self.worth)

    @property
    def choice(self) -> Choice:
        """The smallest choice that makes the step."""
        return self.opened.choice(self.cost, self.worth)


def winner(steps: Iterable[Step]) -> Step:
    """Return the best of some steps, ties told apart."""
    ranked = [(_rank(step), step) for step in steps]
    top = max(rank for rank, _ in ranked)
    best = [step for rank, step in ranked if rank == top]
    return best[0] if len(best) == 1 else min(best, key=_order)


def _rank(step: Step) -> tuple[tuple[Fraction, ...], int, Fraction]:
    before, after = step.figures
    return before, -step.paid, after


def _order(step: Step) -> tuple[object, ...]:
    """Return what kits of equal figures are told apart by: less comes first."""
    choice = step.choice
    units = sorted(tally(choice, step.opened.offers).units.items())
    return units, [place.key for place in choice.places]


def opened(offers: Offers, limit: int, clock: Clock | None = None, *, gap: bool = True) -> Opened:
    """Return all kits of the one chart in `offers` whose goods cost no more than `limit`.

    Parameters
    ----------
    gap : bool
        Whether to mind that dearer goods may be delivered free, where they may.

    Raises
    ------
    TooTangled
        If the choices of the chart are not for staircases.
    OutOfTime
        If there is no time left.
    """
    if offers.beyond_staircases:
        raise TooTangled
    worth = worth_of(offers)
    stairs = Opening(offers, worth, limit, clock or Clock(), gap=gap).staircase()
    return Opened(offers, worth, stairs, limit)


def _choice(taken: Taken) -> Choice:
    slots: dict[Any, list[Any]] = defaultdict(list)
    places = {}
    for slot, thing in taken.goods:
        if isinstance(thing, Place):
            places[slot] = thing
        else:
            slots[slot].append(thing)
    return Choice(
        needs={row.category: row for row in slots[Slot.NEED]},
        places=tuple(places[colour] for colour in sorted(places)),
        extras=tuple(sorted(slots[Slot.EXTRA], key=lambda extra: extra.sku)),
    )


def _row(good: tuple[Any, Offer | Place]) -> Offer:
    _, thing = good
    return thing.thread if isinstance(thing, Place) else thing
