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
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from kitsolver.solve.decomposition.assignment import Assignment, Costs, shared_packs
from kitsolver.solve.decomposition.objective import SCORE_UNIT

# Sweeps over all packs, at the most; the bound falls with every one.
_SWEEPS = 6
# No option scores as low as that.
NEVER = -(2**60)


@dataclass
class ColourScores:
    """What each colour scores at most at a multiplier.

    Parameters
    ----------
    best : list of int
        By colour.
    shares : dict of (str, int) to int
        By pack and colour what the colour pays for a skein of it, in scores.
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
        shared = shared_packs(assignments)
        self.colours = len(assignments)
        alone: list[list[Assignment]] = []
        self.packs: dict[str, dict[int, tuple[int, int]]] = defaultdict(dict)
        self.price: dict[str, int] = {}
        for number, colour in enumerate(assignments):
            alone.append([a for a in colour if a.sku not in shared])
            for a in colour:
                if a.sku in shared:
                    users = self.packs[a.sku]
                    score = SCORE_UNIT * costs.points(a)
                    users[number] = max(users.get(number, (NEVER, 0)), (score, a.skeins))
                    self.price[a.sku] = costs.pools * a.thread.price
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
        net: list[dict[str, int]] = [{} for _ in alone]
        shares: dict[tuple[str, int], int] = {}
        for sku, users in self.packs.items():
            share = multiplier * self.price[sku] // len(users)
            for colour, (score, skeins) in users.items():
                net[colour][sku], shares[sku, colour] = score - share * skeins, share
        total = None
        for _ in range(_SWEEPS if self.packs else 0):
            for sku, users in self.packs.items():
                price, gains = multiplier * self.price[sku], []
                for colour, (score, skeins) in users.items():
                    other = max((n for s, n in net[colour].items() if s != sku), default=NEVER)
                    gains.append(max(0, score - max(alone[colour], other)) // skeins)
                gained = sum(gains)
                spare = max(0, price - gained) // len(gains)
                for (colour, (score, skeins)), gain in zip(users.items(), gains, strict=True):
                    share = gain * price // gained if gained > price else gain + spare
                    net[colour][sku], shares[sku, colour] = score - share * skeins, share
            before, total = (
                total,
                sum(
                    max(one, *others.values(), one) for one, others in zip(alone, net, strict=True)
                ),
            )
            if total == before:
                break
        best = [max([one, *others.values()]) for one, others in zip(alone, net, strict=True)]
        return ColourScores(best, shares)
