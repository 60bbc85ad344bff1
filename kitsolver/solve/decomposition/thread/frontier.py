"""The thread of one chart at one effective count: a place of its own for each colour.

Most colours want no place that another wants: their frontiers add up. Colours that compete for a
place or share a pack are assigned together (`walk.py`). Where a floor is given, an
assignment is left out if the relaxation shows that no choice with it reaches the floor.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from enum import Enum, auto
from functools import cached_property

from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.frontier import Frontier, StateLimitReached, sum_of_all, union_of
from kitsolver.solve.decomposition.frontier_settings import Bounds, FrontierSettings
from kitsolver.solve.decomposition.objective import Objective
from kitsolver.solve.decomposition.thread.any_place import cheapest_alike
from kitsolver.solve.decomposition.thread.assignment import (
    Assignment,
    Costs,
    cost_of,
    shared_packs,
)
from kitsolver.solve.decomposition.thread.branch import ThreadBranch, Waiting, most
from kitsolver.solve.decomposition.thread.relaxation import ColourScores, ThreadRelaxation
from kitsolver.solve.decomposition.thread.walk import Walk, competing
from kitsolver.solve.time_limit import TimeLimit

# With more states than this after one colour, the chart is left to a model.
_MOST_STATES = 2000
# A short walk has no more states than this after one colour.
_FEW_STATES = 100
# So few packs are left to the walk, if it is a short one.
_FEW_PACKS = 3
# More branches than this would take longer than one walk.
_MOST_BRANCHES = 300

Assignments = Sequence[Sequence[Assignment]]


class Walks(Enum):
    """How places are assigned: all packs in one walk, a short or a long one, or in branches."""

    SHORT = auto()
    ONE = auto()
    BRANCHES = auto()


class ThreadSubproblem:
    """The colours of one chart with the places that they may be given.

    Parameters
    ----------
    candidates : Candidates
        Whose thread is matched to chart colours.
    assignments : sequence of sequence of Assignment
        For each colour of the chart, in its order.
    objective : Objective
        What worths mean.
    """

    def __init__(
        self,
        candidates: Candidates,
        assignments: Assignments,
        objective: Objective,
    ) -> None:
        weight = candidates.weights["thread"]
        self.costs = Costs(weight, objective.worth_of_need(weight), objective.large)
        keep = candidates.brief.choose.keep
        threads = candidates.threads if keep else ()
        self.kept = frozenset(row.sku for row in threads if row.sku in keep)
        self.assignments = [[a for a in colour if self.costs.in_stock(a)] for colour in assignments]
        self._only_money = objective.only_money
        # By kept row what it may be assigned to.
        self._of_kept: dict[str, list[Assignment]] = {sku: [] for sku in sorted(self.kept)}
        for colour in self.assignments if self.kept else ():
            for assignment in colour:
                if assignment.sku in self.kept:
                    self._of_kept[assignment.sku].append(assignment)

    @cached_property
    def _branch(self) -> ThreadBranch:
        """All ways to colour the chart."""
        return ThreadBranch(self.assignments, self.costs)

    @property
    def relaxation(self) -> ThreadRelaxation:
        """Bounds of all colours together."""
        return self._branch.relaxation

    @cached_property
    def cheapest_alike(self) -> list[Assignment] | None:
        """The cheapest assignment, where nothing else counts and all places serve alike."""
        if not (self._only_money and self.feasible):
            return None
        found: list[Assignment] = []
        for group in competing(self.assignments, shared_packs(self.assignments), self.kept):
            colours = [self.assignments[number] for number in group]
            kept = self.kept.intersection(one.sku for colour in colours for one in colour)
            cheapest = cheapest_alike(colours, kept)
            if cheapest is None:
                return None
            found += cheapest
        return found

    @property
    def feasible(self) -> bool:
        """Whether every colour has a place, and every kept row has one."""
        return self._complete(self.assignments)

    def _complete(self, assignments: Assignments) -> bool:
        skus = {a.sku for colour in assignments for a in colour}
        return all(assignments) and self.kept <= skus

    def best_score(self, multiplier: int) -> int:
        """Return what all colours score at most at a multiplier, each kept row having a place."""
        return self._keeping(self.relaxation.scores(multiplier), multiplier)

    def closer_score(self, multiplier: int) -> int:
        """Return what `best_score` does, closer: no two colours get by with one place."""
        if self.cheapest_alike is not None:
            return -multiplier * cost_of(self.cheapest_alike)
        return self._keeping(self.relaxation.priced(multiplier), multiplier)

    def most(self, bounds: Bounds, time_limit: TimeLimit) -> int:
        """Return what `closer_score` does, closer: packs are settled.

        It is below the floor if nothing reaches that.

        Raises
        ------
        OutOfTime
            If there is no time left.
        """
        return most(self._branch, bounds, time_limit)

    def _keeping(self, scores: ColourScores, multiplier: int) -> int:
        """Return what colours score at most where each kept row has a place."""
        if not self.kept:
            return scores.total
        loss = self.relaxation.losses(scores, multiplier)
        return scores.total - max(min(map(loss, each)) for each in self._of_kept.values())

    def frontier(
        self, bounds: Bounds, settings: FrontierSettings, walks: Walks = Walks.ONE
    ) -> Frontier:
        """Return what all colours come to, of which only what is within bounds is wanted.

        Parameters
        ----------
        walks : Walks
            How places are assigned where there is a floor.

        Raises
        ------
        StateLimitReached
            If too many colours compete.
        OutOfTime
            If there is no time left.
        """
        if bounds.floor is None:
            return self._frontier(self.assignments, None, bounds, settings, _MOST_STATES)
        if walks is Walks.BRANCHES:
            return union_of(list(self._branches(bounds, settings)), settings)
        reached = self._branch.reaching(bounds)
        if reached is None:
            return union_of([], settings)
        branch, scores = reached
        most = _MOST_STATES if walks is Walks.ONE else _FEW_STATES
        return self._frontier(branch.assignments, scores, bounds, settings, most)

    def _branches(self, bounds: Bounds, settings: FrontierSettings) -> Iterator[Frontier]:
        """Yield what the colours come to in each branch, or without branches if they are many."""
        waiting = Waiting()
        parts: Sequence[ThreadBranch] = [self._branch]
        for _ in range(_MOST_BRANCHES):
            settings.time_limit.check()
            for part in parts:
                if reached := part.reaching(bounds):
                    waiting.add(*reached)
            if not waiting:
                return
            parts = []
            branch, scores = waiting.pop()
            packs = len(branch.relaxation.places)
            most = _FEW_STATES if packs else _MOST_STATES
            try:
                if packs <= _FEW_PACKS:
                    yield self._frontier(branch.assignments, scores, bounds, settings, most)
                    continue
            except StateLimitReached:
                if not packs:
                    raise
            parts = branch.parts(scores, bounds)
        yield self.frontier(bounds, settings)

    def _frontier(
        self,
        assignments: Assignments,
        scores: ColourScores | None,
        bounds: Bounds,
        settings: FrontierSettings,
        most_states: int,
    ) -> Frontier:
        """Return what all colours come to with some assignments.

        Parameters
        ----------
        scores : ColourScores, optional
            What each colour scores at most, where there is a floor.
        most_states : int
            How many states there may be after a colour.
        """
        if not self._complete(assignments):
            return union_of([], settings)
        assignments = self._undominated(assignments, settings)
        packs, parts = shared_packs(assignments), []
        for group in competing(assignments, packs, self.kept):
            walk = Walk([assignments[n] for n in group], packs, self.kept, self.costs)
            mine = scores and scores.of(group, walk.places)
            others = scores.total - mine.total if scores and mine else 0
            beside = bounds.beside(0, others)
            parts.append(walk.frontier(beside, settings, mine, most_states=most_states))
        return sum_of_all(parts, bounds, settings)

    def _undominated(self, assignments: Assignments, settings: FrontierSettings) -> Assignments:
        """Leave out places that more others dominate than there are colours to take those."""
        wanted: dict[tuple[str, int], set[int]] = defaultdict(set)
        for colour in assignments:
            for assignment in colour:
                wanted[assignment.key].add(assignment.colour)
        points, packs = self.costs.points, shared_packs(assignments)
        found = []
        for number, colour in enumerate(assignments):
            kept: list[Assignment] = []
            for assignment in sorted(colour, key=lambda a: (a.cost, -points(a), a.key)):
                better = [a for a in kept if self._dominates(a, assignment, packs, settings)]
                rivals = {c for a in better for c in wanted[a.key]} - {number}
                if len(better) <= len(rivals) or assignment.sku in self.kept:
                    kept.append(assignment)
            found.append(kept)
        return found

    def _dominates(
        self,
        one: Assignment,
        other: Assignment,
        packs: frozenset[str],
        settings: FrontierSettings,
    ) -> bool:
        """Tell whether `one`, which costs no more, does all that `other` does for its colour."""
        more = self.costs.points(one) - self.costs.points(other)
        if settings.free and one.cost < other.cost:
            return False
        if one.sku in packs:
            # What a shared pack costs depends on who else is given its colours.
            return False
        if other.sku in packs:
            # And a shared pack may cost nothing more, so that only what is free dominates it.
            return one.cost == 0 and more > 0
        if more:
            return more > 0
        cheaper = one.cost < other.cost and (settings.window == 1 or not settings.ties)
        # Shades at home make no line: where kits tie, they come neither first nor last.
        return cheaper or "" < one.sku < other.sku
