"""Pareto frontiers of worth against cost: every best trade of quality for money, exactly.

A frontier holds the breakpoints (cost, worth) that no other breakpoint dominates, which would be
one that costs no more and is worth more. Frontiers add up and unite; the result remembers what it
is made of, so that a breakpoint can be traced back to the goods that are taken for it. Costs are
minor units; worths are whole numbers of any meaning that adds up (`objective.py`).

A frontier need not be complete: `Bounds` say which breakpoints are wanted.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import reduce

import numpy as np

from kitsolver.solve.decomposition.contents import Contents, Option
from kitsolver.solve.decomposition.frontier_settings import Bounds, FrontierSettings
from kitsolver.solve.decomposition.objective import SCORE_UNIT
from kitsolver.solve.decomposition.pareto import Numbers, undominated

# Sums of two frontiers are reduced in blocks of about so many breakpoints.
_BLOCK = 1 << 21
_MOST_BREAKPOINTS = 1 << 18
# With fewer minor units than this to a breakpoint, sums are taken cost by cost.
_SPARSE = 32
# Below every worth, and so far that it stays there when another is added.
_NOTHING = -(2**62)


class StateLimitReached(Exception):
    """A frontier has too many breakpoints, or a walk too many states: a model takes over."""


@dataclass(slots=True)
class _Step:
    """A breakpoint that is being traced back, and the ways to it once they are looked up."""

    frontier: Frontier
    cost: int
    worth: int
    ways: list[Way] | None = None

    @property
    def known(self) -> Contents | None:
        return self.frontier.known(self.cost, self.worth)

    @property
    def contents(self) -> Contents:
        known = self.known
        assert known is not None
        return known


# What is taken together for a breakpoint: contents, and breakpoints of parts.
Way = tuple[_Step | Contents, ...]


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
        # On a stack of its own: a sum of hundreds of parts is deeper than Python may recurse.
        stack = [_Step(self, cost, worth)]
        while stack:
            step = stack[-1]
            if step.known is not None:
                stack.pop()
            elif step.ways is None:
                step.ways = list(step.frontier.ways(step.cost, step.worth))
                parts = (part for way in step.ways for part in way)
                stack += [one for one in parts if isinstance(one, _Step) and one.known is None]
            else:
                step.frontier.remember(step)
        found = self.known(cost, worth)
        assert found is not None
        return found

    def known(self, cost: int, worth: int) -> Contents | None:
        """Return what was traced back before for a breakpoint."""
        return self._memo.get((cost, worth))

    def remember(self, step: _Step) -> None:
        """Keep the first of the ways to a breakpoint, whose steps are known."""
        ways = (
            reduce(Contents.and_, (one.contents if isinstance(one, _Step) else one for one in way))
            for way in step.ways or ()
        )
        self._memo[step.cost, step.worth] = min(ways, key=lambda way: way.order)

    @abstractmethod
    def ways(self, cost: int, worth: int) -> Iterator[Way]:
        """Yield what makes up a breakpoint, way by way."""

    def has(self, cost: int, worth: int) -> bool:
        """Tell whether there is such a breakpoint."""
        at = int(np.searchsorted(self.cost, cost))
        return at < len(self) and self.cost[at] == cost and self.worth[at] == worth


@dataclass(frozen=True, eq=False)
class OptionFrontier(Frontier):
    """One option is taken."""

    options: dict[tuple[int, int], list[Contents]]

    def ways(self, cost: int, worth: int) -> Iterator[Way]:
        """Yield the options of that cost and worth."""
        yield from ((option,) for option in self.options[cost, worth])


@dataclass(frozen=True, eq=False)
class SumFrontier(Frontier):
    """A breakpoint of each of two frontiers is taken."""

    large: Frontier
    small: Frontier

    def ways(self, cost: int, worth: int) -> Iterator[Way]:
        """Yield a breakpoint of each that together cost and are worth so much."""
        large, small = self.large, self.small
        rest_cost, rest_worth = cost - small.cost, worth - small.worth
        at = np.minimum(np.searchsorted(large.cost, rest_cost), len(large) - 1)
        meets = (large.cost[at] == rest_cost) & (large.worth[at] == rest_worth)
        for step in np.flatnonzero(meets):
            yield (
                _Step(large, int(rest_cost[step]), int(rest_worth[step])),
                _Step(small, int(small.cost[step]), int(small.worth[step])),
            )


@dataclass(frozen=True, eq=False)
class UnionFrontier(Frontier):
    """A breakpoint of one of several frontiers is taken."""

    parts: Sequence[Frontier]

    def ways(self, cost: int, worth: int) -> Iterator[Way]:
        """Yield the breakpoint of each part that has it."""
        for part in self.parts:
            if part.has(cost, worth):
                yield (_Step(part, cost, worth),)


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
    if len(small) == 1 and not settings.free:
        # One breakpoint moves the other frontier as a whole.
        cost, worth = large.cost + small.cost, large.worth + small.worth
        wanted = bounds.hold(cost, worth, settings.base)
        return SumFrontier(*_few(cost[wanted], worth[wanted]), large, small)
    cost, worth = large.cost[:0], large.worth[:0]
    block = max(1, _BLOCK // max(1, len(large)))
    for start in range(0, len(small), block):
        part = slice(start, start + block)
        costs = np.add.outer(small.cost[part], large.cost).ravel()
        worths = np.add.outer(small.worth[part], large.worth).ravel()
        wanted = bounds.hold(costs, worths, settings.base)
        cost = np.concatenate([cost, costs[wanted]])
        worth = np.concatenate([worth, worths[wanted]])
        cost, worth = _few(*undominated(cost, worth, settings.free, settings.window))
    return SumFrontier(cost, worth, large, small)


def _few(cost: Numbers, worth: Numbers) -> tuple[Numbers, Numbers]:
    """Return breakpoints, unless there are too many of them."""
    if len(cost) > _MOST_BREAKPOINTS:
        raise StateLimitReached
    return cost, worth


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
