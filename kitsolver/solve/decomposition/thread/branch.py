"""The thread of one chart, parted into branches by how many units are bought of packs.

A relaxation shares the price of a pack among the colours that could use it, so that a pack can be
bought in part. Where several packs serve many colours, this bounds them poorly. So a branch settles
of one pack after the other that less than so many units are bought of it, or as many at least.
Every way to colour the chart is in a branch, and what a branch relaxes is little (branch and bound:
Land and Doig 1960, Econometrica 28(3):497-520; recalled from memory).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property
from heapq import heappop, heappush
from itertools import count
from types import MappingProxyType

from kitsolver.solve.decomposition.frontier_settings import Bounds
from kitsolver.solve.decomposition.thread.assignment import Assignment, Costs
from kitsolver.solve.decomposition.thread.relaxation import ColourScores, ThreadRelaxation
from kitsolver.solve.time_limit import TimeLimit

# So many branches are parted for a bound, at the most.
_MOST_PARTED = 32


class ThreadBranch:
    """Some of the ways to colour a chart.

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
        self.assignments, self.costs, self.settled = assignments, costs, settled

    @cached_property
    def relaxation(self) -> ThreadRelaxation:
        """Bounds of all colours together."""
        return ThreadRelaxation(self.assignments, self.costs, self.settled)

    @cached_property
    def possible(self) -> bool:
        """Whether each colour has a place, and each settled pack a colour that takes so much."""
        taken = dict.fromkeys(self.settled, 0)
        for colour in self.assignments if taken else ():
            for a in colour:
                if a.sku in taken:
                    taken[a.sku] = max(taken[a.sku], a.bought)
        return all(self.assignments) and all(
            taken[sku] >= units for sku, units in self.settled.items()
        )

    def reaching(self, bounds: Bounds) -> tuple[ThreadBranch, ColourScores] | None:
        """Leave out assignments with which the floor is out of reach; None if nothing reaches it.

        What is left is relaxed again, for a pack that fewer colours could use costs each of them
        more.
        """
        branch = self
        while (scores := branch.scores(bounds)) is not None:
            left = branch.without_lost(scores, bounds)
            if left is branch:
                return branch, scores
            branch = left
        return None

    def scores(self, bounds: Bounds) -> ColourScores | None:
        """Return what colours score at most; None if the floor is out of reach."""
        assert bounds.floor is not None
        if not self.possible:
            return None
        scores = self.relaxation.priced(bounds.multiplier, bounds.floor)
        return scores if scores.possible and scores.total >= bounds.floor else None

    def without_lost(self, scores: ColourScores, bounds: Bounds) -> ThreadBranch:
        """Leave out assignments with which the floor is out of reach."""
        assert bounds.floor is not None
        spare = scores.total - bounds.floor
        loss = self.relaxation.losses(scores, bounds.multiplier)
        left = [[a for a in colour if loss(a) <= spare] for colour in self.assignments]
        if list(map(len, left)) == list(map(len, self.assignments)):
            return self
        return ThreadBranch(left, self.costs, self.settled)

    def parts(self, scores: ColourScores, bounds: Bounds) -> tuple[ThreadBranch, ThreadBranch]:
        """Return two branches: with fewer units of the most wanted pack, and with more."""
        sku = self.relaxation.most_wanted(scores)
        assert sku is not None
        units = self.settled.get(sku, 0)
        taken = {a.bought for colour in self.assignments for a in colour if a.sku == sku}
        more = min(bought for bought in taken if bought > units)
        left = self.without_lost(scores, bounds).assignments
        fewer = [[a for a in colour if a.sku != sku or a.bought < more] for colour in left]
        return (
            ThreadBranch(fewer, self.costs, self.settled),
            ThreadBranch(left, self.costs, {**self.settled, sku: more}),
        )


class Waiting:
    """Branches that are still to be looked at, the highest bound first."""

    def __init__(self) -> None:
        self._number = count()
        self._heap: list[tuple[int, int, ThreadBranch, ColourScores]] = []

    def __bool__(self) -> bool:
        return bool(self._heap)

    def add(self, branch: ThreadBranch, scores: ColourScores) -> None:
        """Add a branch with what its colours score at most."""
        heappush(self._heap, (-scores.total, next(self._number), branch, scores))

    @property
    def highest(self) -> int:
        """What no way scores more than."""
        return -self._heap[0][0]

    def pop(self) -> tuple[ThreadBranch, ColourScores]:
        """Take the branch of the highest bound."""
        _, _, branch, scores = heappop(self._heap)
        return branch, scores


def most(branch: ThreadBranch, bounds: Bounds, time_limit: TimeLimit) -> int:
    """Return what no way scores more than; less than the floor if no way reaches it.

    Raises
    ------
    OutOfTime
        If there is no time left.
    """
    assert bounds.floor is not None
    waiting, parts = Waiting(), [branch]
    for _ in range(_MOST_PARTED):
        for part in parts:
            time_limit.check()
            if scores := part.scores(bounds):
                waiting.add(part, scores)
        if not waiting:
            return bounds.floor - 1
        highest = waiting.highest
        one, scores = waiting.pop()
        if not one.relaxation.places:
            break
        parts = list(one.parts(scores, bounds))
    return highest
