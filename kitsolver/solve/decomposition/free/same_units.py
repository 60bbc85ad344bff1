"""Free colours that all take as many units of a place: a way to colour them is a set of places.

Places that differ enough can be given to the colours in one order, from dark to light. What they
cost and count does not depend on that.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

import numpy as np

from kitsolver.craft.colour import lightness
from kitsolver.solve.decomposition.free.best_set import BestSets
from kitsolver.solve.decomposition.free.colours import FreeColours
from kitsolver.solve.decomposition.free.question import Found
from kitsolver.solve.decomposition.free.relaxation import NEVER
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.objective import SCORE_UNIT
from kitsolver.solve.time_limit import TimeLimit


class SameUnits:
    """The sets of places that the colours of one chart may take; without packs.

    Parameters
    ----------
    colours : FreeColours
        What they choose from.
    units : sequence of int
        The units that a colour takes of each step; below zero where it may not.
    order : sequence of int
        The colours' numbers in the chart, the darkest first.
    weight : int
        What a hundredth of a point counts.
    """

    def __init__(
        self, colours: FreeColours, units: Sequence[int], order: Sequence[int], weight: int
    ) -> None:
        self.colours, self.order, self.weight = colours, order, weight
        self.places = colours.places
        taken = {rank: one for rank, one in zip(colours.steps.rank, units, strict=True) if one >= 0}
        # In the order of the tie-break: first those that make a line of the kit.
        self.ranks = sorted(taken, key=lambda rank: (not self.places[rank].thread.sku, rank))
        self.cost = [self.places[rank].thread.cost_of(taken[rank]) for rank in self.ranks]
        counted = self.colours.counted
        self.points = [self.places[rank].points if counted else 0 for rank in self.ranks]
        self.kept = [
            number
            for number, rank in enumerate(self.ranks)
            if self.places[rank].thread.sku in colours.kept
        ]
        self.feasible = len(self.kept) == len(colours.kept)
        self._scores: dict[int, int] = {}
        self._cheapest: Found | None = None
        self._given_up: set[int] = set()

    def best_score(self, multiplier: int, time_limit: TimeLimit) -> int:
        """Return the best score at a multiplier; `NEVER` if the colours cannot be given places.

        Raises
        ------
        StateLimitReached
            If it takes too long to find.
        OutOfTime
            If there is no time left.
        """
        if not self.feasible:
            return NEVER
        if multiplier in self._given_up:
            raise StateLimitReached
        if multiplier not in self._scores:
            self._given_up.add(multiplier)
            self._scores[multiplier] = self._best_score(multiplier, time_limit)
            self._given_up.discard(multiplier)
        return self._scores[multiplier]

    def _best_score(self, multiplier: int, time_limit: TimeLimit) -> int:
        if not multiplier:
            return SCORE_UNIT * self.weight * self.cheapest(time_limit).points
        scores = [
            SCORE_UNIT * self.weight * points - multiplier * cost
            for points, cost in zip(self.points, self.cost, strict=True)
        ]
        sets = BestSets(scores, self.colours.alike_places(self.ranks), time_limit.check)
        best = sets.heaviest(len(self.order), self.kept)
        return NEVER if best is None else best

    def cheapest(self, time_limit: TimeLimit) -> Found:
        """Return the cheapest way of those that count most, of several the first by the tie-break.

        First come the sets of places with points that count most together, and each is completed
        by the cheapest places without points.

        Raises
        ------
        StateLimitReached
            If it takes too long to find, or no such set can be completed.
        OutOfTime
            If there is no time left.
        """
        if self._cheapest is None:
            self._cheapest = self._found(self._cheapest_set(time_limit))
        return self._cheapest

    def _cheapest_set(self, time_limit: TimeLimit) -> list[int]:
        size, numbers = len(self.order), range(len(self.ranks))
        alike = self.colours.alike_places(self.ranks)
        worthy = [number for number in numbers if self.points[number]]
        plain = [number for number in numbers if not self.points[number]]
        counting = BestSets(
            [self.points[number] for number in worthy],
            alike[np.ix_(worthy, worthy)],
            time_limit.check,
        )
        cheap = BestSets(
            [-self.cost[number] for number in plain], alike[np.ix_(plain, plain)], time_limit.check
        )
        kept = [at for at, number in enumerate(plain) if number in self.kept]
        best: tuple[int, list[int]] | None = None
        for counted in counting.all_heaviest(
            size, [at for at, number in enumerate(worthy) if number in self.kept]
        ):
            some = [worthy[at] for at in counted]
            barred = set(np.flatnonzero(alike[some].any(axis=0)).tolist())
            among = [at for at, number in enumerate(plain) if number not in barred]
            rest = cheap.first_heaviest(size - len(some), kept, among)
            if rest is not None:
                every = sorted((*some, *(plain[at] for at in rest)))
                found = sum(self.cost[number] for number in every), every
                best = found if best is None else min(best, found)
        if best is None:
            raise StateLimitReached
        return best[1]

    def _found(self, numbers: Sequence[int]) -> Found:
        return Found(
            sum(self.cost[number] for number in numbers),
            sum(self.points[number] for number in numbers),
            self._in_order([self.ranks[number] for number in numbers]),
            marked=False,
        )

    def _in_order(self, ranks: Sequence[int]) -> tuple[int, ...]:
        """Return places from dark to light; of equally light ones the first to the first colour."""
        light = lightness([self.places[rank].colour for rank in ranks]).tolist()
        ordered: list[int] = []
        for _, equal in groupby(sorted(zip(light, ranks, strict=True)), key=lambda one: one[0]):
            alike = [rank for _, rank in equal]
            slots = range(len(ordered), len(ordered) + len(alike))
            given = dict(zip(sorted(slots, key=lambda slot: self.order[slot]), alike, strict=True))
            ordered += [given[slot] for slot in slots]
        return tuple(ordered)
