"""The thread of one chart at one effective count: a place of its own for each colour.

Most colours want no place that another wants: their frontiers add up. Colours that compete for a
place or share a pack are assigned together (`walk.py`). Where a floor is given, an
assignment is left out if the relaxation shows that no choice with it reaches the floor.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from functools import cached_property

from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.frontier import Frontier, sum_of_all, union_of
from kitsolver.solve.decomposition.frontier_settings import Bounds, FrontierSettings
from kitsolver.solve.decomposition.objective import Objective
from kitsolver.solve.decomposition.thread.any_place import cheapest_alike
from kitsolver.solve.decomposition.thread.assignment import (
    Assignment,
    Costs,
    cost_of,
    shared_packs,
)
from kitsolver.solve.decomposition.thread.relaxation import ColourScores, ThreadRelaxation
from kitsolver.solve.decomposition.thread.walk import Walk, competing

Assignments = Sequence[Sequence[Assignment]]


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
    def relaxation(self) -> ThreadRelaxation:
        """Bounds of all colours together."""
        return ThreadRelaxation(self.assignments, self.costs)

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

    def _keeping(self, scores: ColourScores, multiplier: int) -> int:
        """Return what colours score at most where each kept row has a place."""
        if not self.kept:
            return scores.total
        loss = self.relaxation.losses(scores, multiplier)
        return scores.total - max(min(map(loss, each)) for each in self._of_kept.values())

    def frontier(self, bounds: Bounds, settings: FrontierSettings) -> Frontier:
        """Return what all colours come to, of which only what is within bounds is wanted.

        Raises
        ------
        StateLimitReached
            If too many colours compete.
        """
        assignments, scores = self._reaching(bounds)
        if not self._complete(assignments):
            return union_of([], settings)
        assignments = self._undominated(assignments, settings)
        packs, parts = shared_packs(assignments), []
        for group in competing(assignments, packs, self.kept):
            walk = Walk([assignments[n] for n in group], packs, self.kept, self.costs)
            if scores is None:
                parts.append(walk.frontier(bounds, settings))
                continue
            mine = scores.of(group, walk.places)
            others = scores.total - mine.total
            parts.append(walk.frontier(bounds.beside(0, others), settings, mine))
        return sum_of_all(parts, bounds, settings)

    def _reaching(self, bounds: Bounds) -> tuple[Assignments, ColourScores | None]:
        """Leave out assignments with which the floor is out of reach.

        What is left is relaxed again, for a pack that fewer colours could use costs each of them
        more.
        """
        assignments, relaxation = self.assignments, self.relaxation
        if bounds.floor is None:
            return assignments, None
        while True:
            scores = relaxation.priced(bounds.multiplier)
            spare = scores.total - bounds.floor
            loss = relaxation.losses(scores, bounds.multiplier)
            left = [[a for a in colour if loss(a) <= spare] for colour in assignments]
            if list(map(len, left)) == list(map(len, assignments)) or not all(left):
                return left, scores
            assignments = left
            relaxation = ThreadRelaxation(assignments, self.costs)

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
