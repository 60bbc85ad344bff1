"""Cost–worth staircases: the most that can be had for every sum of money, exactly.

A staircase holds the steps (cost, worth) that no other step beats, which would be one that costs
no more and is worth more. Staircases add up, and merge; the result remembers what it is made of,
so that a step can be unfolded into what is taken for it. Costs are minor units, worths are whole
numbers of any meaning that adds up.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from kitsolver.solve.time_limit import TimeLimit

Numbers = NDArray[Any]  # int64, or Python's whole numbers where those would not do

# Sums of two staircases are reduced in blocks of about so many steps.
_BLOCK = 1 << 21
_MOST_STEPS = 1 << 18
# Fewer minor units than this to a step, and sums are taken cost by cost.
_SPARSE = 32
# Below every worth, and so far that it stays there when another is added.
_NOTHING = -(2**62)
# In the order of lists below, a list that goes on comes before one that ends.
_END = ((1, "", 0),)

# A line of the kit: 0, the sku and the units.
Line = tuple[int, str, int]


class Contents(NamedTuple):
    """What is taken for a step: its lines, sorted, its places of thread, and the goods.

    Those of equal cost and worth are told apart by `order`, which keeps its sense when the same is
    added on both sides.
    """

    lines: tuple[Line, ...] = ()
    places: tuple[tuple[int, tuple[str, int]], ...] = ()
    goods: tuple[Any, ...] = ()

    @property
    def order(self) -> tuple[Any, ...]:
        """The smallest comes first."""
        return self.lines + _END, self.places

    def and_(self, other: Contents) -> Contents:
        """Return both together."""
        return Contents(
            tuple(sorted(self.lines + other.lines)),
            tuple(sorted(self.places + other.places)),
            self.goods + other.goods,
        )


class Option(NamedTuple):
    """One way to take something: what it costs, what it is worth, and what it is."""

    cost: int
    worth: int
    taken: Contents


class StateLimitReached(Exception):
    """Staircases are not the fast way here: too many steps, or too many ways to remember."""


class FrontierSettings(NamedTuple):
    """What all staircases of a search have in common.

    Parameters
    ----------
    free : int
        Below this goods total dearer may be better, for then delivery is free: up to it the best
        step for every cost is kept. 0 where dearer is never better.
    window : int
        Steps of equal worth are kept while they cost less than this more than the cheapest: what
        is paid may be the same. 1 if every minor unit counts.
    large : bool
        Whether worths may leave 64 bits.
    time_limit : TimeLimit
        Sums are taken only while it runs.
    """

    free: int
    window: int
    large: bool
    time_limit: TimeLimit

    def array(self, worths: Iterable[int]) -> Numbers:
        """Return worths as an array."""
        return np.array(list(worths), dtype=object if self.large else np.int64)


@dataclass(frozen=True, eq=False)
class Frontier(ABC):
    """Steps in rising order of cost, and so of worth.

    Parameters
    ----------
    cost, worth : array of int
        One entry a step.
    """

    cost: Numbers
    worth: Numbers
    _memo: dict[tuple[int, int], Contents] = field(default_factory=dict, init=False, repr=False)

    def __len__(self) -> int:
        return len(self.cost)

    def trace_back(self, cost: int, worth: int) -> Contents:
        """Return the first of what can be taken for a step."""
        at = cost, worth
        if at not in self._memo:
            self._memo[at] = min(self._ways(cost, worth), key=lambda way: way.order)
        return self._memo[at]

    @abstractmethod
    def _ways(self, cost: int, worth: int) -> Iterator[Contents]:
        """Yield what can be taken for a step."""

    def has(self, cost: int, worth: int) -> bool:
        """Tell whether there is such a step."""
        at = int(np.searchsorted(self.cost, cost))
        return at < len(self) and self.cost[at] == cost and self.worth[at] == worth


@dataclass(frozen=True, eq=False)
class OptionFrontier(Frontier):
    """One option is taken."""

    options: dict[tuple[int, int], list[Contents]]

    def _ways(self, cost: int, worth: int) -> Iterator[Contents]:
        yield from self.options[cost, worth]


@dataclass(frozen=True, eq=False)
class SumFrontier(Frontier):
    """A step of each of two staircases is taken."""

    large: Frontier
    small: Frontier

    def _ways(self, cost: int, worth: int) -> Iterator[Contents]:
        large, small = self.large, self.small
        rest_cost, rest_worth = cost - small.cost, worth - small.worth
        at = np.minimum(np.searchsorted(large.cost, rest_cost), len(large) - 1)
        meets = (large.cost[at] == rest_cost) & (large.worth[at] == rest_worth)
        for step in np.flatnonzero(meets):
            one = large.trace_back(int(rest_cost[step]), int(rest_worth[step]))
            other = small.trace_back(int(small.cost[step]), int(small.worth[step]))
            yield one.and_(other)


@dataclass(frozen=True, eq=False)
class UnionFrontier(Frontier):
    """A step of one of several staircases is taken."""

    parts: Sequence[Frontier]

    def _ways(self, cost: int, worth: int) -> Iterator[Contents]:
        for part in self.parts:
            if part.has(cost, worth):
                yield part.trace_back(cost, worth)


def frontier_of(
    options: Iterable[Option], limit: int, settings: FrontierSettings
) -> OptionFrontier:
    """Return the staircase of one choice among options that cost no more than `limit`."""
    by_step: dict[tuple[int, int], list[Contents]] = defaultdict(list)
    for option in options:
        if option.cost <= limit:
            by_step[option.cost, option.worth].append(option.taken)
    cost = np.array([cost for cost, _ in by_step], dtype=np.int64)
    return OptionFrontier(
        *_highest(cost, settings.array(worth for _, worth in by_step), settings), dict(by_step)
    )


def sum_of(one: Frontier, other: Frontier, limit: int, settings: FrontierSettings) -> SumFrontier:
    """Return the staircase of a step of each, at no more than `limit` in all.

    Raises
    ------
    OutOfTime
        If there is no time left.
    StateLimitReached
        If there are too many steps.
    """
    settings.time_limit.check()
    small, large = sorted((one, other), key=len)
    if not settings.large and len(small) and limit - large.cost[0] < _SPARSE * len(large):
        return SumFrontier(*_highest(*_filled(small, large, limit), settings), large, small)
    cost, worth = large.cost[:0], large.worth[:0]
    block = max(1, _BLOCK // max(1, len(large)))
    for start in range(0, len(small), block):
        part = slice(start, start + block)
        sums = np.add.outer(small.cost[part], large.cost).ravel()
        worths = np.add.outer(small.worth[part], large.worth).ravel()
        within = sums <= limit
        cost = np.concatenate([cost, sums[within]])
        worth = np.concatenate([worth, worths[within]])
        cost, worth = _highest(cost, worth, settings)
        if len(cost) > _MOST_STEPS:
            raise StateLimitReached
    return SumFrontier(cost, worth, large, small)


def _filled(small: Frontier, large: Frontier, limit: int) -> tuple[Numbers, Numbers]:
    """Return the highest of all sums at each cost, where there are steps at most costs."""
    least = int(large.cost[0])
    tread = np.full(max(0, limit - least) + 1, _NOTHING)
    within = large.cost <= limit
    tread[large.cost[within] - least] = large.worth[within]
    best = np.full_like(tread, _NOTHING)
    for cost, worth in zip(small.cost.tolist(), small.worth.tolist(), strict=True):
        if cost < len(best):
            np.maximum(best[cost:], tread[: len(best) - cost] + worth, out=best[cost:])
    filled = np.flatnonzero(best >= 0)
    return filled + least, best[filled]


def union_of(parts: Sequence[Frontier], settings: FrontierSettings) -> Frontier:
    """Return the staircase of a step of one of several."""
    if len(parts) == 1:
        return parts[0]
    cost = np.concatenate([part.cost for part in parts] or [np.array([], dtype=np.int64)])
    worth = np.concatenate([part.worth for part in parts] or [settings.array(())])
    return UnionFrontier(*_highest(cost, worth, settings), parts)


def _highest(cost: Numbers, worth: Numbers, settings: FrontierSettings) -> tuple[Numbers, Numbers]:
    """Leave out the steps that others beat."""
    if len(cost) < 2:
        return cost, worth
    order = np.argsort(cost, kind="stable")
    cost, worth = cost[order], worth[order]
    if settings.free and cost[0] < settings.free:
        start = int(np.searchsorted(cost, settings.free))
        low = _highest_at_each(cost[:start], worth[:start])
        high = _rising(cost[start:], worth[start:], settings.window)
        return np.concatenate([low[0], high[0]]), np.concatenate([low[1], high[1]])
    return _rising(cost, worth, settings.window)


def _rising(cost: Numbers, worth: Numbers, window: int) -> tuple[Numbers, Numbers]:
    best = worth == np.maximum.accumulate(worth)
    cost, worth = cost[best], worth[best]
    dearest = np.append(cost[1:] != cost[:-1], True)[: len(cost)]
    cost, worth = cost[dearest], worth[dearest]
    cheapest = cost[np.searchsorted(worth, worth, side="left")]
    kept = cost - cheapest < window
    return cost[kept], worth[kept]


def _highest_at_each(cost: Numbers, worth: Numbers) -> tuple[Numbers, Numbers]:
    starts = np.flatnonzero(np.append(True, cost[1:] != cost[:-1]))
    return cost[starts], np.maximum.reduceat(worth, starts)
