"""The thread of one chart at one effective count and on cloth of some colour, colours being free.

It answers what `thread/frontier.py` answers for charted colours.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from operator import itemgetter

import numpy as np

from kitsolver.solve.candidates.candidate import Chart
from kitsolver.solve.decomposition.contents import Contents, Option
from kitsolver.solve.decomposition.free.colours import Bought
from kitsolver.solve.decomposition.free.floor_search import FloorSearch
from kitsolver.solve.decomposition.free.packs import FreePacks, PackSet, Point
from kitsolver.solve.decomposition.free.question import Found, Question
from kitsolver.solve.decomposition.free.relaxation import NEVER
from kitsolver.solve.decomposition.free.walk import walk
from kitsolver.solve.decomposition.frontier import (
    Frontier,
    StateLimitReached,
    Way,
    frontier_of,
)
from kitsolver.solve.decomposition.frontier_settings import Bounds, FrontierSettings
from kitsolver.solve.decomposition.objective import SCORE_UNIT, Objective
from kitsolver.solve.decomposition.pareto import undominated
from kitsolver.solve.time_limit import TimeLimit

# So many labels are made for one question before a model takes over.
_MOST_LABELS = 400_000
# So many sets of packs are walked through for one frontier.
_MOST_SETS = 24


class FreeThread:
    """The free colours of one chart.

    Parameters
    ----------
    packs : FreePacks
        What they choose from.
    chart : Chart
        With colours of which no two are equally light.
    count : Fraction or None
        The effective count.
    barred : frozenset of str
        The thread colours that are too like the cloth.
    objective : Objective
        What worths mean.
    time_limit : TimeLimit
        Within which bounds are found.

    Raises
    ------
    StateLimitReached
        If only a model can tell.
    OutOfTime
        If there is no time left.
    """

    def __init__(
        self,
        packs: FreePacks,
        chart: Chart,
        count: Fraction | None,
        barred: frozenset[str],
        objective: Objective,
        time_limit: TimeLimit,
    ) -> None:
        colours = packs.colours
        if objective.large:
            raise StateLimitReached
        self.colours, self.chart, self.barred, self.time_limit = colours, chart, barred, time_limit
        self.weight = colours.candidates.weights["thread"]
        self.worth_of_point = objective.worth_of_need(self.weight)
        self.order = colours.order(chart)
        shades, till = chart.shades or (), colours.brief.exact_till
        self.taking = [colours.taking(shades[number], count) for number in self.order]
        self.equal_cost = till.has_gap or till.window > 1
        self.sets = packs.sets(self.taking, barred, time_limit)
        if self.sets is None and colours.packs:
            raise StateLimitReached
        self._in_order: dict[Bought, list[Found]] = {}
        self._questions: dict[Bought, Question] = {}
        self._closer: dict[int, int] = {}
        # Where there are too many best ways, without packs.
        self.floor_search: FloorSearch | None = None
        if self.sets is None:
            self.floor_search = FloorSearch(
                colours, self._question(()), self.taking, self.order, self.weight
            )

    @property
    def feasible(self) -> bool:
        """Whether there can be places for all colours."""
        return self.best_score(0) > NEVER

    def best_score(self, multiplier: int) -> int:
        """Return what all colours score at most at a multiplier."""
        if self.floor_search:
            return self.floor_search.bound(multiplier)
        assert self.sets is not None
        points = self.sets.best(len(self.taking))
        return max((self._score(*point, multiplier) for point in points), default=NEVER)

    def closer_score(self, multiplier: int) -> int:
        """Return what `best_score` does, closer: no two places are too alike."""
        if multiplier not in self._closer:
            self._closer[multiplier] = self._closer_score(multiplier)
        return self._closer[multiplier]

    def _closer_score(self, multiplier: int) -> int:
        if self.floor_search:
            return self.floor_search.best_score(multiplier, self.time_limit)
        assert self.sets is not None
        best = NEVER

        def better(points: Iterable[Point]) -> bool:
            return any(self._score(*point, multiplier) > best for point in points)

        for number, packs in enumerate(self.sets.where(len(self.taking), better)):
            ways = self._ways(packs)
            if ways is None or number == _MOST_SETS:
                return self.best_score(multiplier)
            scores = (self._score(one.cost + packs.cost, one.points, multiplier) for one in ways)
            best = max(best, *scores, NEVER)
        return best

    def frontier(self, bounds: Bounds, settings: FrontierSettings) -> Frontier:
        """Return what all colours come to, of which only what is within bounds is wanted.

        Raises
        ------
        StateLimitReached
            If only a model can tell.
        """
        self.time_limit = settings.time_limit
        if self.floor_search:
            return self._reaching(self.floor_search, bounds, settings)
        assert self.sets is not None
        found: set[Point] = set()
        floor, used = bounds.floor, list[PackSet]()

        def useful(points: Iterable[Point]) -> bool:
            return any(
                cost <= bounds.limit
                and (floor is None or self._score(cost, counted, bounds.multiplier) >= floor)
                and not self._dominated(cost, counted, found)
                for cost, counted in points
            )

        for packs in self.sets.where(len(self.taking), useful):
            ways = self._ways(packs)
            if ways is None or len(used) == _MOST_SETS:
                raise StateLimitReached
            used.append(packs)
            found |= {(one.cost + packs.cost, one.points) for one in ways}
        cost = np.array([cost for cost, _ in found], dtype=np.int64)
        worth = settings.array(self.worth_of_point * counted for _, counted in found)
        wanted = bounds.hold(cost, worth, settings.base)
        best = undominated(cost[wanted], worth[wanted], settings.free, settings.window)
        return _FreeFrontier(*best, self, used)

    def ways(self, cost: int, worth: int, used: Sequence[PackSet]) -> Iterator[Contents]:
        """Yield what is taken for a breakpoint of a frontier: of each set of packs the first."""
        for packs in used:
            ways = self._ways(packs) or ()
            if not any(self._meets(one, packs, cost, worth) for one in ways):
                continue
            if packs.bought not in self._in_order:
                question = replace(self._question(packs.bought), order=self.order)
                # In the order of the tie-break fewer labels dominate others.
                answer = walk(self.colours.steps, question, _MOST_LABELS, self.time_limit.check)
                self._in_order[packs.bought] = answer[-1]
            for one in self._in_order[packs.bought]:
                if self._meets(one, packs, cost, worth):
                    yield self._contents(one, packs.bought)

    def _meets(self, one: Found, packs: PackSet, cost: int, worth: int) -> bool:
        return one.cost + packs.cost == cost and self.worth_of_point * one.points == worth

    def _score(self, cost: int, points: int, multiplier: int) -> int:
        return SCORE_UNIT * self.weight * points - multiplier * cost

    def _dominated(self, cost: int, points: int, found: Iterable[Point]) -> bool:
        """Tell whether some way found costs less and counts no less, or counts more for as much."""
        return not self.equal_cost and any(
            one <= cost and counted >= points and (one, counted) != (cost, points)
            for one, counted in found
        )

    def _ways(self, packs: PackSet) -> list[Found] | None:
        """Return all best ways with some packs, which are not counted; None if too many."""
        answer = self.colours.walked(
            self.taking, self.barred, packs.bought, self.equal_cost, self.time_limit
        )
        return None if answer is None else answer[len(self.taking)]

    def _reaching(
        self, search: FloorSearch, bounds: Bounds, settings: FrontierSettings
    ) -> Frontier:
        """Return the frontier of what reaches a floor."""
        if bounds.floor is None:
            raise StateLimitReached
        found = search.reaching(bounds.floor, bounds.multiplier, self.time_limit)
        options = [
            Option(one.cost, self.worth_of_point * one.points, self._contents(one, ()))
            for one in found
        ]
        return frontier_of(options, bounds, settings)

    def _question(self, bought: Bought) -> Question:
        if bought not in self._questions:
            self._questions[bought] = self.colours.question(
                self.taking, self.barred, bought, self.equal_cost
            )
        return self._questions[bought]

    def _contents(self, found: Found, bought: Bought) -> Contents:
        """Return one way to colour the chart."""
        given = [
            (number, self.colours.places[rank], taking)
            for number, rank, taking in zip(self.order, found.ranks, self.taking, strict=True)
        ]
        units = dict(bought)
        for _, place, taking in given:
            if place.thread.sku and place.thread.sku not in units:
                units[place.thread.sku] = self.colours.units_of(place, taking)
        goods = tuple(sorted(((number, place) for number, place, _ in given), key=itemgetter(0)))
        places = tuple((number, place.key) for number, place in goods)
        lines = tuple((0, sku, taken) for sku, taken in sorted(units.items()))
        return Contents(lines, places, goods)


@dataclass(frozen=True, eq=False)
class _FreeFrontier(Frontier):
    """The best ways to colour a chart; which places they take is found out when asked."""

    thread: FreeThread
    used: Sequence[PackSet]

    def ways(self, cost: int, worth: int) -> Iterator[Way]:
        """Yield what makes up a breakpoint."""
        yield from ((one,) for one in self.thread.ways(cost, worth, self.used))
