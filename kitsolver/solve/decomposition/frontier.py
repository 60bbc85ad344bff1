"""Pareto frontiers of worth against cost: every best trade of quality for money, exactly.

A frontier holds the breakpoints (cost, worth) that no other breakpoint dominates, which would be
one that costs no more and is worth more. Frontiers add up and unite; the result remembers what it
is made of, so that a breakpoint can be traced back to the goods that are taken for it. Costs are
minor units; worths are whole numbers of any meaning that adds up (`objective.py`).

A frontier need not be complete. `Bounds` say up to which cost breakpoints are wanted, and which
score they must reach: their first figure less a multiplier times their cost.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from kitsolver.solve.decomposition.objective import SCORE_UNIT
from kitsolver.solve.decomposition.pareto import Numbers, undominated
from kitsolver.solve.time_limit import TimeLimit

# Sums of two frontiers are reduced in blocks of about so many breakpoints.
_BLOCK = 1 << 21
_MOST_BREAKPOINTS = 1 << 18
# With fewer minor units than this to a breakpoint, sums are taken cost by cost.
_SPARSE = 32
# Below every worth, and so far that it stays there when another is added.
_NOTHING = -(2**62)
# Ends a list of lines, so that a list that goes on comes before one that ends.
_END = ((1, "", 0),)

# A line of the kit: 0, the sku and the units.
Line = tuple[int, str, int]


class Contents(NamedTuple):
    """What is taken for a breakpoint: its lines, sorted, its places of thread, and the goods.

    Of several contents of equal cost and worth the one whose `order` comes first is taken. That
    order stays the same when the same contents are added to both sides.
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
    """A frontier has too many breakpoints, or a walk too many states: a model takes over."""


class FrontierSettings(NamedTuple):
    """What all frontiers of a chart have in common.

    Parameters
    ----------
    free : int
        Below this goods total dearer may be better, for then delivery is free: up to it the best
        breakpoint for every cost is kept. 0 where dearer is never better.
    window : int
        Breakpoints of equal worth are kept while they cost less than this more than the cheapest:
        what is paid may be the same. 1 if every minor unit counts.
    base : int
        What a worth is divided by to get its first figure.
    large : bool
        Whether worths or scores may leave 64 bits.
    time_limit : TimeLimit
        Sums are taken only while it runs.
    """

    free: int
    window: int
    base: int
    large: bool
    time_limit: TimeLimit

    def array(self, numbers: Iterable[int]) -> Numbers:
        """Return worths as an array."""
        return np.array(list(numbers), dtype=object if self.large else np.int64)


class Bounds(NamedTuple):
    """Which breakpoints are wanted; none at all is left out where `floor` is None.

    Parameters
    ----------
    limit : int
        The highest cost.
    floor : int or None
        The lowest score.
    multiplier : int
        What a minor unit of cost takes from the score.
    """

    limit: int
    floor: int | None = None
    multiplier: int = 0

    def beside(self, cost: int, score: int) -> Bounds:
        """Return what is wanted of a part, where the others cost and score no better than this."""
        floor = None if self.floor is None else self.floor - score
        return Bounds(self.limit - cost, floor, self.multiplier)

    def hold(self, cost: Numbers, worth: Numbers, base: int) -> NDArray[np.bool_]:
        """Return which breakpoints are wanted."""
        wanted: NDArray[np.bool_] = cost <= self.limit
        if self.floor is not None:
            score = SCORE_UNIT * (worth // base) - self.multiplier * cost
            wanted = wanted & np.asarray(score >= self.floor, dtype=np.bool_)
        return wanted


@dataclass(frozen=True, eq=False)
class Frontier(ABC):
    """Breakpoints in rising order of cost, and so of worth.

    Parameters
    ----------
    cost, worth : array of int
        One entry a breakpoint.
    """

    cost: Numbers
    worth: Numbers
    _memo: dict[tuple[int, int], Contents] = field(default_factory=dict, init=False, repr=False)

    def __len__(self) -> int:
        return len(self.cost)

    def best_score(self, multiplier: int, base: int) -> int:
        """Return the highest score at a multiplier; there must be a breakpoint."""
        return int((SCORE_UNIT * (self.worth // base) - multiplier * self.cost).max())

    def trace_back(self, cost: int, worth: int) -> Contents:
        """Return the first of what can be taken for a breakpoint."""
        at = cost, worth
        if at not in self._memo:
            self._memo[at] = min(self._ways(cost, worth), key=lambda way: way.order)
        return self._memo[at]

    @abstractmethod
    def _ways(self, cost: int, worth: int) -> Iterator[Contents]:
        """Yield what can be taken for a breakpoint."""

    def has(self, cost: int, worth: int) -> bool:
        """Tell whether there is such a breakpoint."""
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
    """A breakpoint of each of two frontiers is taken."""

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
    """A breakpoint of one of several frontiers is taken."""

    parts: Sequence[Frontier]

    def _ways(self, cost: int, worth: int) -> Iterator[Contents]:
        for part in self.parts:
            if part.has(cost, worth):
                yield part.trace_back(cost, worth)


def frontier_of(
    options: Iterable[Option], bounds: Bounds, settings: FrontierSettings
) -> OptionFrontier:
    """Return the frontier of one choice among the options that are wanted."""
    by_point: dict[tuple[int, int], list[Contents]] = defaultdict(list)
    for option in options:
        by_point[option.cost, option.worth].append(option.taken)
    cost = np.array([cost for cost, _ in by_point], dtype=np.int64)
    worth = settings.array(worth for _, worth in by_point)
    wanted = bounds.hold(cost, worth, settings.base)
    return OptionFrontier(
        *undominated(cost[wanted], worth[wanted], settings.free, settings.window), dict(by_point)
    )


def sum_of(one: Frontier, other: Frontier, bounds: Bounds, settings: FrontierSettings) -> Frontier:
    """Return the frontier of a breakpoint of each, of which only those within bounds are wanted.

    Raises
    ------
    OutOfTime
        If there is no time left.
    StateLimitReached
        If there are too many breakpoints.
    """
    settings.time_limit.check()
    small, large = sorted((one, other), key=len)
    span = bounds.limit - large.cost[0] if len(small) else 0
    if not settings.large and len(small) > 1 and span < _SPARSE * len(large):
        cost, worth = _cost_by_cost(small, large, bounds.limit)
        wanted = bounds.hold(cost, worth, settings.base)
        return SumFrontier(
            *undominated(cost[wanted], worth[wanted], settings.free, settings.window), large, small
        )
    cost, worth = large.cost[:0], large.worth[:0]
    block = max(1, _BLOCK // max(1, len(large)))
    for start in range(0, len(small), block):
        part = slice(start, start + block)
        costs = np.add.outer(small.cost[part], large.cost).ravel()
        worths = np.add.outer(small.worth[part], large.worth).ravel()
        wanted = bounds.hold(costs, worths, settings.base)
        cost = np.concatenate([cost, costs[wanted]])
        worth = np.concatenate([worth, worths[wanted]])
        cost, worth = undominated(cost, worth, settings.free, settings.window)
        if len(cost) > _MOST_BREAKPOINTS:
            raise StateLimitReached
    return SumFrontier(cost, worth, large, small)


def sum_of_all(parts: Sequence[Frontier], bounds: Bounds, settings: FrontierSettings) -> Frontier:
    """Return the frontier of a breakpoint of each of one or more parts, the shortest first.

    Raises
    ------
    OutOfTime, StateLimitReached
        As `sum_of` does.
    """
    if not all(map(len, parts)):
        return union_of([], settings)
    parts = sorted(parts, key=len)
    least = [int(part.cost[0]) for part in parts]
    best = [0] * len(parts)
    if bounds.floor is not None:
        best = [part.best_score(bounds.multiplier, settings.base) for part in parts]
    whole = parts[0]
    for number, part in enumerate(parts[1:], start=2):
        rest = bounds.beside(sum(least[number:]), sum(best[number:]))
        whole = sum_of(whole, part, rest, settings)
        if not len(whole):
            break
    return whole


def union_of(parts: Sequence[Frontier], settings: FrontierSettings) -> Frontier:
    """Return the frontier of a breakpoint of one of several."""
    if len(parts) == 1:
        return parts[0]
    cost = np.concatenate([part.cost for part in parts] or [np.array([], dtype=np.int64)])
    worth = np.concatenate([part.worth for part in parts] or [settings.array(())])
    return UnionFrontier(*undominated(cost, worth, settings.free, settings.window), parts)


def _cost_by_cost(small: Frontier, large: Frontier, limit: int) -> tuple[Numbers, Numbers]:
    """Return the highest of all sums at each cost, where there are breakpoints at most costs."""
    least = int(large.cost[0])
    at_cost = np.full(max(0, limit - least) + 1, _NOTHING)
    within = large.cost <= limit
    at_cost[large.cost[within] - least] = large.worth[within]
    best = np.full_like(at_cost, _NOTHING)
    for cost, worth in zip(small.cost.tolist(), small.worth.tolist(), strict=True):
        if cost < len(best):
            np.maximum(best[cost:], at_cost[: len(best) - cost] + worth, out=best[cost:])
    filled = np.flatnonzero(best >= 0)
    return filled + least, best[filled]
