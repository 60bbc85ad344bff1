"""What the colours of one chart score at most, if each chooses its place by itself.

A single thread costs what it costs. The price of a pack is shared among the colours that could use
it: however it is shared, colours that pay no more than their shares pay no more than the pack. So
the best places of all colours by themselves score no less than any allowed set of places (a
Lagrangian relaxation). The shares that let colours score least give the closest bound. They are
found by dual ascent, one pack after the other, as it is done for the uncapacitated facility
location problem (Erlenkotter 1978, Operations Research 26(6):992-1009; recalled from memory).

Where several colours want one place, it gets a price of its own (`place_prices.py`): each colour
that takes it scores less by this price, and all prices are added to the bound.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from kitsolver.solve.decomposition.objective import SCORE_UNIT
from kitsolver.solve.decomposition.thread.assignment import Assignment, Costs, shared_packs
from kitsolver.solve.decomposition.thread.place_prices import NEVER, Ints, place_prices

# Sweeps over all packs, at the most; the bound falls with every one.
_SWEEPS = 6
# Prices of places and shares of packs are found so many times in turn, at the most.
_ROUNDS = 2

# By pack and colour what the colour pays for a skein of it.
Shares = dict[tuple[str, int], int]
# By pack and colour the best score of its places, and the units that the colour takes.
Packs = Mapping[str, Mapping[int, tuple[int, int]]]


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
    """

    best: list[int]
    shares: Shares = field(default_factory=dict)
    prices: dict[tuple[str, int], int] = field(default_factory=dict)

    @property
    def total(self) -> int:
        """What all colours score at most."""
        return sum(self.best) + sum(self.prices.values())

    def of(self, colours: Sequence[int], places: Collection[tuple[str, int]]) -> ColourScores:
        """Return what is said of some colours, and of the places that they could take."""
        prices = {key: price for key, price in self.prices.items() if key in places}
        return ColourScores([self.best[colour] for colour in colours], self.shares, prices)


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
        self.contested = _contested(assignments)
        # Those of no pack that is shared, colour by colour.
        alone: list[list[Assignment]] = []
        # By pack and colour the scores of its places, each with the number of its price, or -1.
        self.places: dict[str, dict[int, list[tuple[int, int]]]] = defaultdict(dict)
        self.units: dict[str, dict[int, int]] = defaultdict(dict)
        self.price: dict[str, int] = {}
        for number, colour in enumerate(assignments):
            # A pack of which enough is at home for a colour costs that colour nothing.
            alone.append([a for a in colour if a.sku not in shared or not a.bought])
            for a in colour:
                if a.sku in shared and a.bought:
                    score = SCORE_UNIT * costs.points(a)
                    places = self.places[a.sku].setdefault(number, [])
                    places.append((score, self.contested.get(a.key, -1)))
                    self.units[a.sku][number] = a.bought
                    self.price[a.sku] = a.thread.price
        many = np.array([len(colour) for colour in alone], dtype=np.int64)
        self.starts, self.some = np.cumsum(many) - many, many > 0
        every = [a for colour in alone for a in colour]
        self.points = costs.array(SCORE_UNIT * costs.points(a) for a in every)
        self.cost = costs.array(a.cost for a in every)
        self.owner = np.repeat(np.arange(self.colours), many)
        self.place = np.array([self.contested.get(a.key, -1) for a in every], dtype=np.int64)
        self.packs = self._pack_scores(self._none)

    @property
    def _none(self) -> Ints:
        """No price on any place; the last is that of places that one colour wants."""
        return np.zeros(len(self.contested) + 1, dtype=np.int64)

    def scores(self, multiplier: int) -> ColourScores:
        """Return what each colour scores at most; every colour must have a place."""
        return self._shared(multiplier, self._none)

    def priced(self, multiplier: int) -> ColourScores:
        """Return what `scores` does, closer: places that several colours want have prices."""
        closest = self.scores(multiplier)
        if self.costs.large or not self.contested:
            return closest
        shares = closest.shares
        for _ in range(_ROUNDS):
            prices, scores = self._priced(multiplier, shares)
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
        found, shares = self._share(packs, best.tolist(), multiplier)
        return ColourScores(found, shares, self._by_key(prices))

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
        prices, _ = place_prices(scores, own)
        best = np.maximum((scores - prices).max(axis=1), own).tolist()
        prices = np.append(prices, 0)
        return prices, ColourScores(best, shares, self._by_key(prices))

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

    def _share(self, packs: Packs, alone: list[int], multiplier: int) -> tuple[list[int], Shares]:
        """Share the price of each pack such that colours score least."""
        price = {sku: multiplier * each for sku, each in self.price.items()}
        shares: Shares = {}
        # Packs that gain more than they cost, beside single places; no others pay for anybody.
        paying = {}
        for sku, users in packs.items():
            gains = [_up(max(0, one - alone[c]), units) for c, (one, units) in users.items()]
            if sum(gains) > price[sku]:
                paying[sku] = users
            else:
                spare = (price[sku] - sum(gains)) // len(gains)
                shares |= {(sku, c): g + spare for c, g in zip(users, gains, strict=True)}
        return _ascend(paying, price, alone, shares), shares

    def losses(self, scores: ColourScores, multiplier: int) -> Callable[[Assignment], int]:
        """Return what tells by how much at least the total falls with an assignment."""
        prices = self._none
        for key, price in scores.prices.items():
            prices[self.contested[key]] = price
        # What is lost if a pack is bought at all: its price less what it gains every colour.
        unpaid = {}
        for sku, users in self._pack_scores(prices).items():
            gains = (_up(max(0, s - scores.best[c]), units) for c, (s, units) in users.items())
            unpaid[sku] = max(0, multiplier * self.price[sku] - sum(gains))

        def loss(assignment: Assignment) -> int:
            short = scores.best[assignment.colour] - SCORE_UNIT * self.costs.points(assignment)
            short += scores.prices.get(assignment.key, 0)
            share = scores.shares.get((assignment.sku, assignment.colour))
            if share is None:
                return short + multiplier * assignment.cost
            return max(short + share * assignment.bought, unpaid[assignment.sku] + max(0, short))

        return loss


def _contested(assignments: Sequence[Sequence[Assignment]]) -> dict[tuple[str, int], int]:
    """Return the places that several colours want, numbered."""
    wanted = Counter(a.key for colour in assignments for a in colour)
    return {key: n for n, key in enumerate(key for key, times in wanted.items() if times > 1)}


def _ascend(paying: Packs, price: dict[str, int], alone: list[int], shares: Shares) -> list[int]:
    """Share the prices of packs that pay; return what each colour scores at most."""
    # What each colour scores with each of these packs, at what it pays.
    net: list[dict[str, int]] = [{} for _ in alone]
    for sku, users in paying.items():
        for colour, (score, units) in users.items():
            shares[sku, colour] = price[sku] // len(users)
            net[colour][sku] = score - shares[sku, colour] * units
    best = [max([one, *others.values()]) for one, others in zip(alone, net, strict=True)]
    for _ in range(_SWEEPS):
        before = sum(best)
        for sku, users in paying.items():
            gains = []
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
