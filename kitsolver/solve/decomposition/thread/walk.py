"""Colours that compete for places or share packs, assigned one after the other.

A state says what earlier colours have taken that later colours could use: places, and how many of
a pack a pool buys. Each state has a frontier. Where a floor is given, a state is left out if the
relaxation shows that nothing assigned to the later colours brings it up to the floor.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Hashable, Iterator, Sequence
from functools import cached_property
from itertools import pairwise
from math import comb

from kitsolver.solve.decomposition.contents import Contents, Line, Option
from kitsolver.solve.decomposition.frontier import (
    Frontier,
    StateLimitReached,
    frontier_of,
    sum_of,
    union_of,
)
from kitsolver.solve.decomposition.frontier_settings import Bounds, FrontierSettings
from kitsolver.solve.decomposition.thread.assignment import Assignment, Costs
from kitsolver.solve.decomposition.thread.relaxation import ColourScores
from kitsolver.solve.decomposition.thread.rest import Rest
from kitsolver.solve.decomposition.thread.states import State, Step

# A place by its key, or a row by its sku.
_Thing = tuple[str, int] | str


def competing(
    assignments: Sequence[Sequence[Assignment]], packs: Collection[str], kept: Collection[str]
) -> list[list[int]]:
    """Return the colours in groups that share nothing with each other."""
    group = {number: [number] for number in range(len(assignments))}
    owner: dict[_Thing, int] = {}
    for number, colour in enumerate(assignments):
        for thing in _things(colour, packs, kept):
            first, mine = group[owner.setdefault(thing, number)], group[number]
            if first is not mine:
                first += mine
                group |= dict.fromkeys(mine, first)
    return [sorted(members) for members in {id(g): g for g in group.values()}.values()]


def _things(
    colour: Sequence[Assignment], packs: Collection[str], kept: Collection[str]
) -> set[_Thing]:
    """Return the places and rows that a colour may have to share with others."""
    places: set[_Thing] = {a.key for a in colour if a.sku not in packs}
    return places | {a.sku for a in colour if a.sku in packs or a.sku in kept}


class Walk:
    """The colours of one group, to be assigned in an order in which few states arise.

    Parameters
    ----------
    colours : sequence of sequence of Assignment
        For each colour of the group the places that it may be given.
    packs : collection of str
        The packs that several colours could use.
    kept : collection of str
        Rows of which at least one place must be assigned.
    costs : Costs
        What assignments cost and count.
    """

    def __init__(
        self,
        colours: Sequence[Sequence[Assignment]],
        packs: Collection[str],
        kept: Collection[str],
        costs: Costs,
    ) -> None:
        self.costs = costs
        self.order = _order([_things(colour, packs, kept) for colour in colours])
        self.colours = [colours[number] for number in self.order]
        # After which colour, by this order, a place or a row is wanted no more.
        self.last: dict[_Thing, int] = {}
        for at, colour in enumerate(self.colours):
            for a in colour:
                self.last |= {a.key: at, a.sku: at}
        self.kept = {sku for sku in kept if sku in self.last}
        self.bought_once = {*packs, *kept}
        self.places = {a.key for colour in colours for a in colour}

    def frontier(
        self,
        bounds: Bounds,
        settings: FrontierSettings,
        scores: ColourScores | None = None,
        *,
        most_states: int,
    ) -> Frontier:
        """Return what the colours come to, of which only what is within bounds is wanted.

        Parameters
        ----------
        scores : ColourScores, optional
            What each colour scores at most, where a floor is given.
        most_states : int
            How many states there may be after a colour.

        Raises
        ------
        StateLimitReached
            If there are too many states.
        """
        if scores is None and self._surely_more_than(most_states):
            raise StateLimitReached
        rest = Rest(self, scores, bounds)
        states: dict[State, Frontier] = {
            State(): frontier_of([Option(0, 0, Contents())], Bounds(0), settings)
        }
        for at in range(len(self.colours)):
            steps: dict[State, dict[State, list[Step]]] = defaultdict(dict)
            for state, frontier in states.items():
                best = frontier.best_score(bounds.multiplier, settings.base)
                for after, step in self._steps(state, at, ties=settings.ties):
                    if best + rest.score(step) >= rest.floor(after, at):
                        steps[after].setdefault(state, []).append(step)
            if len(steps) > most_states:
                raise StateLimitReached
            states = {
                after: self._reached(states, ways, rest.bounds(after, at), settings)
                for after, ways in steps.items()
            }
            states = {after: frontier for after, frontier in states.items() if len(frontier)}
        return union_of(list(states.values()), settings)

    def _reached(
        self,
        states: dict[State, Frontier],
        ways: dict[State, list[Step]],
        bounds: Bounds,
        settings: FrontierSettings,
    ) -> Frontier:
        """Return the frontier of a state that is reached by steps from others."""
        limit = Bounds(bounds.limit)
        return union_of(
            [
                sum_of(
                    states[state],
                    frontier_of(map(self._option, steps), limit, settings),
                    bounds,
                    settings,
                )
                for state, steps in ways.items()
            ],
            settings,
        )

    def _steps(self, state: State, at: int, *, ties: bool) -> Iterator[tuple[State, Step]]:
        """Yield the steps from a state at a colour, each with the state after it.

        Parameters
        ----------
        ties : bool
            Whether places that serve alike are all tried; else the first one of them that is free.
        """
        must_close = {sku for sku in self.kept if self.last[sku] == at}
        for assignment in self.colours[at]:
            key, sku, units = assignment.key, assignment.sku, assignment.units
            if key in state.places:
                continue
            if not ties and self._alike_before.get(key, key) not in {key, *state.places}:
                continue
            packs, cost, closed = dict(state.packs), assignment.cost, {}
            if sku in self.bought_once:
                before = packs.get(sku, 0)
                packs[sku] = max(before, units)
                cost = assignment.thread.cost_of(packs[sku]) - assignment.thread.cost_of(before)
            elif sku:
                closed[sku] = units
            closed |= {done: packs.pop(done) for done in [*packs] if self.last[done] == at}
            if not must_close <= closed.keys():
                continue
            places = state.places | {key}
            after = State(
                frozenset(place for place in places if self.last[place] > at),
                tuple(sorted(packs.items())),
            )
            yield after, Step(assignment, cost, tuple(closed.items()))

    @cached_property
    def _alike_before(self) -> dict[tuple[str, int], tuple[str, int]]:
        """For places that serve all colours as well as an earlier one does, that earlier one.

        Both are wanted by the same colours, so a state that one of them was taken in says so.
        """
        uses: dict[tuple[str, int], list[tuple[int, int, int]]] = defaultdict(list)
        for at, colour in enumerate(self.colours):
            for a in colour:
                uses[a.key].append((at, a.cost, self.costs.points(a)))
        alike: dict[Hashable, list[tuple[str, int]]] = defaultdict(list)
        for key in sorted(uses):
            sku = key[0]
            # Another row that is bought once for several colours may be bought for some already.
            row = sku if sku in self.bought_once else ""
            alike[row, tuple(uses[key])].append(key)
        pairs = (pair for keys in alike.values() for pair in pairwise(keys))
        return {later: earlier for earlier, later in pairs}

    def _option(self, step: Step) -> Option:
        colour, place = step.assignment.colour, step.assignment.place
        lines: tuple[Line, ...] = tuple(sorted((0, sku, units) for sku, units in step.closed))
        taken = Contents(lines, ((colour, place.key),), ((colour, place),))
        return Option(step.cost, self.costs.worth_of_point * place.points, taken)

    def _surely_more_than(self, most_states: int) -> bool:
        """Tell whether some of the colours can take more sets of places than so many states."""
        for taken in range(1, len(self.colours)):
            # Places that a colour may take, and that are wanted later on.
            many = (
                sum(self.last[assignment.key] >= taken for assignment in colour)
                for colour in self.colours[:taken]
            )
            if comb(min(many), taken) > most_states:
                return True
        return False


def _order(things: Sequence[set[_Thing]]) -> list[int]:
    """Return an order of colours in which few things are open at a time (a greedy choice)."""
    left, order, taken = list(range(len(things))), list[int](), set[_Thing]()
    while left:
        open_after = []
        for number in left:
            others = (things[other] for other in left if other != number)
            wanted = set[_Thing]().union(*others)
            open_after.append((len((taken | things[number]) & wanted), number))
        _, first = min(open_after)
        left.remove(first)
        order.append(first)
        taken |= things[first]
    return order
