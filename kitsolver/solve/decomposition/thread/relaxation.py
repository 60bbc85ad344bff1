"""What the colours of one chart score at most, if each chooses its place by itself.

A single thread costs what it costs. The price of a pack is shared among the colours that could use
it: however it is shared, colours that pay no more than their shares pay no more than the pack. So
the best places of all colours by themselves score no less than any allowed set of places (a
Lagrangian relaxation). The shares that let colours score least give the closest bound
(`pack_shares.py`).

Where several colours want one place, it gets a price of its own (`place_prices.py`): each colour
that takes it scores less by this price, and all prices are added to the bound.

Of some packs it may be settled how many units are bought at least (`branch.py`). What these cost is
taken from the bound as a whole, and colours pay only for what they take beyond them.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from kitsolver.solve.candidates.candidate import Thread
from kitsolver.solve.decomposition.objective import SCORE_UNIT
from kitsolver.solve.decomposition.thread.assignment import Assignment, Costs, shared_packs
from kitsolver.solve.decomposition.thread.pack_shares import Shares, rounded_up, share_prices
from kitsolver.solve.decomposition.thread.place_prices import (
    NEVER,
    NO_PLACE,
    Ints,
    place_prices,
)

# Prices of places and shares of packs are found so many times in turn, at the most.
_ROUNDS = 2


class Settled(NamedTuple):
    """How many units of a pack are bought at least, and what each takes from the score."""

    thread: Thread
    units: int
    each: int


@dataclass(frozen=True)
class ColourScores:
    """What each colour scores at most at a multiplier.

    Parameters
    ----------
    best : list of int
        By colour.
    shares : dict of (str, int) to int
        By pack and colour what the colour pays for a unit of it, in scores.
    prices : dict of (str, int) to int
        By the place's key what a colour pays for the place, in scores; only those above zero.
    settled : dict of str to Settled
        By pack what is bought of it at least.
    possible : bool
        False if it was found that some colour has no place of its own.
    """

    best: list[int]
    shares: Shares = field(default_factory=dict)
    prices: dict[tuple[str, int], int] = field(default_factory=dict)
    settled: dict[str, Settled] = field(default_factory=dict)
    possible: bool = True

    @property
    def total(self) -> int:
        """What all colours score at most."""
        paid = sum(one.units * one.each for one in self.settled.values())
        return sum(self.best) + sum(self.prices.values()) - paid

    def of(self, colours: Sequence[int], places: Collection[tuple[str, int]]) -> ColourScores:
        """Return what is said of some colours, and of the places that they could take."""
        prices = {key: price for key, price in self.prices.items() if key in places}
        skus = {sku for sku, _ in places}
        settled = {sku: bought for sku, bought in self.settled.items() if sku in skus}
        return ColourScores([self.best[colour] for colour in colours], self.shares, prices, settled)


class ThreadRelaxation:
    """The colours of one chart at one effective count.

    Parameters
    ----------
    assignments : sequence of sequence of Assignment
        For each colour the places that it may be given.
    costs : Costs
        What these cost and count.
    settled : mapping of str to int
        By pack how many units are bought at least.
    """

    def __init__(
        self,
        assignments: Sequence[Sequence[Assignment]],
        costs: Costs,
        settled: Mapping[str, int] = MappingProxyType({}),
    ) -> None:
        shared, self.costs, self.settled = shared_packs(assignments), costs, settled
        self.colours = len(assignments)
        self.contested = _contested(assignments)
        # Those of no pack that is shared, colour by colour.
        alone: list[list[Assignment]] = []
        # By pack and colour the scores of its places, each with the number of its price, or -1.
        self.places: dict[str, dict[int, list[tuple[int, int]]]] = defaultdict(dict)
        self.units: dict[str, dict[int, int]] = defaultdict(dict)
        self.threads: dict[str, Thread] = {}
        for number, colour in enumerate(assignments):
            by_itself = []
            for a in colour:
                # A pack of which enough is there for a colour costs that colour nothing.
                if a.sku in shared and (more := self._more(a)):
                    score = SCORE_UNIT * costs.points(a)
                    places = self.places[a.sku].setdefault(number, [])
                    places.append((score, self.contested.get(a.key, -1)))
                    self.units[a.sku][number] = more
                    self.threads[a.sku] = a.thread
                else:
                    by_itself.append(a)
                    if a.sku in settled:
                        self.threads[a.sku] = a.thread
            alone.append(by_itself)
        many = np.array([len(colour) for colour in alone], dtype=np.int64)
        self.starts, self.some = np.cumsum(many) - many, many > 0
        every = [a for colour in alone for a in colour]
        self.points = costs.array(SCORE_UNIT * costs.points(a) for a in every)
        self.cost = costs.array(self._beyond(a) for a in every)
        self.owner = np.repeat(np.arange(self.colours), many)
        self.place = np.array([self.contested.get(a.key, -1) for a in every], dtype=np.int64)
        self.packs = self._pack_scores(self._none)

    def _more(self, assignment: Assignment) -> int:
        """Return how many units an assignment takes beyond those that are bought anyway."""
        settled = self.settled.get(assignment.sku) if self.settled else None
        return max(0, assignment.bought - settled) if settled else assignment.bought

    def _beyond(self, assignment: Assignment) -> int:
        """Return what an assignment costs beyond what is bought anyway."""
        if assignment.sku not in self.settled:
            return assignment.cost
        return self._more(assignment) * assignment.thread.price

    def _found(
        self, best: list[int], shares: Shares, prices: Ints, multiplier: int
    ) -> ColourScores:
        settled = {}
        for sku, units in self.settled.items():
            thread = self.threads[sku]
            settled[sku] = Settled(thread, units, multiplier * thread.price)
        return ColourScores(best, shares, self._by_key(prices), settled)

    @property
    def _none(self) -> Ints:
        """No price on any place; the last is that of places that one colour wants."""
        return np.zeros(len(self.contested) + 1, dtype=np.int64)

    def scores(self, multiplier: int) -> ColourScores:
        """Return what each colour scores at most; every colour must have a place."""
        return self._shared(multiplier, self._none)

    def priced(self, multiplier: int, floor: int | None = None) -> ColourScores:
        """Return what `scores` does, closer: places that several colours want have prices.

        Parameters
        ----------
        floor : int, optional
            A total below this need not be closer.
        """
        closest = self.scores(multiplier)
        low = floor is not None and closest.total < floor
        if low or self.costs.large or not self.contested:
            return closest
        shares = closest.shares
        for _ in range(_ROUNDS):
            prices, scores = self._priced(multiplier, shares)
            if not scores.possible:
                return scores
            if scores.total >= closest.total:
                break
            closest = scores
            if not self.packs:
                break
            again = self._shared(multiplier, prices)
            shares = again.shares
            closest = min(closest, again, key=lambda found: found.total)
        return closest

    def _shared(self, multiplier: int, prices: Ints) -> ColourScores:
        """Return what colours score at some prices, the packs shared such that it is least."""
        best = np.full(self.colours, NEVER, dtype=self.points.dtype)
        if self.some.any():
            each = self.points - multiplier * self.cost - prices[self.place]
            best[self.some] = np.maximum.reduceat(each, self.starts[self.some])
        packs = self._pack_scores(prices) if prices.any() else self.packs
        price = {sku: multiplier * self.threads[sku].price for sku in packs}
        found, shares = share_prices(packs, price, best.tolist())
        return self._found(found, shares, prices, multiplier)

    def _priced(self, multiplier: int, shares: Shares) -> tuple[Ints, ColourScores]:
        """Return the best prices at some shares, and what colours score at both."""
        scores = np.full((self.colours, len(self.contested)), NEVER)
        own = np.full(self.colours, NEVER)
        each = self.points - multiplier * self.cost
        wanted = self.place >= 0
        scores[self.owner[wanted], self.place[wanted]] = each[wanted]
        np.maximum.at(own, self.owner[~wanted], each[~wanted])
        for sku, users in self.places.items():
            for colour, places in users.items():
                share = shares[sku, colour] * self.units[sku][colour]
                for score, place in places:
                    if place < 0:
                        own[colour] = max(own[colour], score - share)
                    else:
                        scores[colour, place] = score - share
        prices, assigned = place_prices(scores, own)
        # Where no prices were sought, nobody has a place.
        none = assigned == NO_PLACE
        best = np.maximum((scores - prices).max(axis=1), own).tolist()
        prices = np.append(prices, 0)
        found = self._found(best, shares, prices, multiplier)
        return prices, replace(found, possible=not none.any() or bool(none.all()))

    def _by_key(self, prices: Ints) -> dict[tuple[str, int], int]:
        if not prices.any():
            return {}
        listed = prices.tolist()
        return {key: listed[place] for key, place in self.contested.items() if listed[place]}

    def _pack_scores(self, prices: Ints) -> dict[str, dict[int, tuple[int, int]]]:
        """Return by pack and colour the best score of its places, and the units it takes."""
        listed = prices.tolist()
        return {
            sku: {
                colour: (
                    max(score - listed[place] for score, place in places),
                    self.units[sku][colour],
                )
                for colour, places in users.items()
            }
            for sku, users in self.places.items()
        }

    def most_wanted(self, scores: ColourScores) -> str | None:
        """Return the pack that most colours take by themselves; None if packs are all settled."""
        prices, wanted = self._prices(scores), dict[str, int]()
        for sku, users in self._pack_scores(prices).items():
            wanted[sku] = sum(
                score - scores.shares[sku, colour] * units >= scores.best[colour]
                for colour, (score, units) in users.items()
            )
        return max(wanted, key=lambda sku: (wanted[sku], sku), default=None)

    def _prices(self, scores: ColourScores) -> Ints:
        """Return the prices of places that some scores were found at."""
        prices = self._none
        for key, price in scores.prices.items():
            prices[self.contested[key]] = price
        return prices

    def losses(self, scores: ColourScores, multiplier: int) -> Callable[[Assignment], int]:
        """Return what tells by how much at least the total falls with an assignment."""
        prices = self._prices(scores)
        # What is lost if a pack is bought at all: its price less what it gains every colour.
        unpaid = {}
        for sku, users in self._pack_scores(prices).items():
            gains = (
                rounded_up(max(0, s - scores.best[c]), units) for c, (s, units) in users.items()
            )
            unpaid[sku] = max(0, multiplier * self.threads[sku].price - sum(gains))

        def loss(assignment: Assignment) -> int:
            short = scores.best[assignment.colour] - SCORE_UNIT * self.costs.points(assignment)
            short += scores.prices.get(assignment.key, 0)
            share = scores.shares.get((assignment.sku, assignment.colour))
            if share is None:
                return short + multiplier * self._beyond(assignment)
            beyond = share * self._more(assignment)
            return max(short + beyond, unpaid[assignment.sku] + max(0, short))

        return loss


def _contested(assignments: Sequence[Sequence[Assignment]]) -> dict[tuple[str, int], int]:
    """Return the places that several colours want, numbered."""
    wanted = Counter(a.key for colour in assignments for a in colour)
    return {key: n for n, key in enumerate(key for key, times in wanted.items() if times > 1)}
