"""What the colours of one chart score at most, if each chooses its place by itself.

A single thread costs what it costs. The price of a pack is shared among the colours that could use
it: however it is shared, colours that pay no more than their shares pay no more than the pack. So
the best places of all colours by themselves score no less than any allowed set of places (a
Lagrangian relaxation). The shares that let colours score least give the closest bound. They are
found by dual ascent, one pack after the other, as it is done for the uncapacitated facility
location problem (Erlenkotter 1978, Operations Research 26(6):992-1009; recalled from memory).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from kitsolver.solve.decomposition.assignment import Assignment, Costs, shared_packs
from kitsolver.solve.decomposition.objective import SCORE_UNIT

# Sweeps over all packs, at the most; the bound falls with every one.
_SWEEPS = 6
# No option scores as low as that.
NEVER = -(2**60)


@dataclass(frozen=True)
class ColourScores:
    """What each colour scores at most at a multiplier.

    Parameters
    ----------
    best : list of int
        By colour.
    shares : dict of (str, int) to int
        By pack and colour what the colour pays for a unit of it, in scores.
    """

    best: list[int]
    shares: dict[tuple[str, int], int] = field(default_factory=dict)

    @property
    def total(self) -> int:
        """What all colours score at most."""
        return sum(self.best)


class ThreadRelaxation:
    """The colours of one chart at one effective count.

    Parameters
    ----------
    assignments : sequence of sequence of Assignment
        For each colour the places that it may be given.
    costs : Costs
        What these cost and count.
    """

    def __init__(self, assignments: Sequence[Sequence[Assignment]], costs: Costs) -> None:
        shared, self.costs = shared_packs(assignments), costs
        self.colours = len(assignments)
        alone: list[list[Assignment]] = []
        self.packs: dict[str, dict[int, tuple[int, int]]] = defaultdict(dict)
        self.price: dict[str, int] = {}
        for number, colour in enumerate(assignments):
            # A pack of which enough is at home for a colour costs that colour nothing.
            alone.append([a for a in colour if a.sku not in shared or not a.bought])
            for a in colour:
                if a.sku in shared and a.bought:
                    users = self.packs[a.sku]
                    score = SCORE_UNIT * costs.points(a)
                    users[number] = max(users.get(number, (NEVER, 0)), (score, a.bought))
                    self.price[a.sku] = a.thread.price
        many = np.array([len(colour) for colour in alone], dtype=np.int64)
        self.starts, self.some = np.cumsum(many) - many, many > 0
        self.points = costs.array(SCORE_UNIT * costs.points(a) for colour in alone for a in colour)
        self.cost = costs.array(costs.cost(a) for colour in alone for a in colour)

    def scores(self, multiplier: int) -> ColourScores:
        """Return what each colour scores at most; every colour must have a place."""
        best = np.full(self.colours, NEVER, dtype=self.points.dtype)
        if self.some.any():
            each = self.points - multiplier * self.cost
            best[self.some] = np.maximum.reduceat(each, self.starts[self.some])
        return self._share(best.tolist(), multiplier)

    def _share(self, alone: list[int], multiplier: int) -> ColourScores:
        """Share the price of each pack such that colours score least."""
        price = {sku: multiplier * each for sku, each in self.price.items()}
        shares: dict[tuple[str, int], int] = {}
        # Packs that gain more than they cost, beside single places; no others pay for anybody.
        paying = []
        for sku, users in self.packs.items():
            gains = [_up(max(0, one - alone[c]), units) for c, (one, units) in users.items()]
            if sum(gains) > price[sku]:
                paying.append(sku)
            else:
                spare = (price[sku] - sum(gains)) // len(gains)
                shares |= {(sku, c): g + spare for c, g in zip(users, gains, strict=True)}
        best = self._ascend(paying, price, alone, shares)
        return ColourScores(best, shares)

    def losses(self, scores: ColourScores, multiplier: int) -> Callable[[Assignment], int]:
        """Return what tells by how much at least the total falls with an assignment."""
        # What is lost if a pack is bought at all: its price less what it gains every colour.
        unpaid = {}
        for sku, users in self.packs.items():
            gains = (_up(max(0, s - scores.best[c]), units) for c, (s, units) in users.items())
            unpaid[sku] = max(0, multiplier * self.price[sku] - sum(gains))

        def loss(assignment: Assignment) -> int:
            short = scores.best[assignment.colour] - SCORE_UNIT * self.costs.points(assignment)
            share = scores.shares.get((assignment.sku, assignment.colour))
            if share is None:
                return short + multiplier * self.costs.cost(assignment)
            return max(short + share * assignment.units, unpaid[assignment.sku] + max(0, short))

        return loss

    def _ascend(
        self,
        paying: list[str],
        price: dict[str, int],
        alone: list[int],
        shares: dict[tuple[str, int], int],
    ) -> list[int]:
        """Share the prices of packs that pay; return what each colour scores at most."""
        # What each colour scores with each of these packs, at what it pays.
        net: list[dict[str, int]] = [{} for _ in alone]
        for sku in paying:
            users = self.packs[sku]
            for colour, (score, units) in users.items():
                shares[sku, colour] = price[sku] // len(users)
                net[colour][sku] = score - shares[sku, colour] * units
        best = [max([one, *others.values()]) for one, others in zip(alone, net, strict=True)]
        for _ in range(_SWEEPS):
            before = sum(best)
            for sku in paying:
                users, gains = self.packs[sku], []
                for colour, (score, units) in users.items():
                    del net[colour][sku]
                    other = max([alone[colour], *net[colour].values()])
                    gains.append(max(0, score - other) // units)
                gained = sum(gains)
                spare = max(0, price[sku] - gained) // len(gains)
                for (colour, (score, units)), gain in zip(users.items(), gains, strict=True):
                    share = gain * price[sku] // gained if gained > price[sku] else gain + spare
                    shares[sku, colour] = share
                    net[colour][sku] = score - share * units
            best = [max([one, *others.values()]) for one, others in zip(alone, net, strict=True)]
            if sum(best) == before:
                break
        return best


def _up(number: int, divisor: int) -> int:
    """Return a quotient rounded up."""
    return -(-number // divisor)
