"""The thread part of one chart: each colour its own place, singles and packs, as a staircase.

Most colours want no place that another wants: their staircases add up. Colours that meet at a
place or in a pack are gone through one after the other; what is remembered on the way is which of
those places are taken and how many of those packs a pool buys, for as long as a later colour asks.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import reduce
from math import comb
from typing import NamedTuple

from kitsolver.solve.candidates.candidate import Place, Thread
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.quantities import pools
from kitsolver.solve.decomposition.frontier import (
    Contents,
    Frontier,
    FrontierSettings,
    Line,
    Option,
    StateLimitReached,
    frontier_of,
    sum_of,
    union_of,
)
from kitsolver.solve.rules.stock import in_stock

# More ways to have taken places and packs than this are left to a solver.
_MOST_STATES = 600


class Assignment(NamedTuple):
    """A place that one colour of the chart may be given.

    `colour` is the colour's number in the chart, `skeins` are those of one pool, `points` are in
    hundredths.
    """

    colour: int
    place: Place
    skeins: int

    @property
    def thread(self) -> Thread:
        """The row it is in."""
        return self.place.thread


@dataclass(frozen=True)
class _State:
    """What colours so far have taken that later colours may want."""

    places: frozenset[tuple[str, int]] = frozenset()
    packs: tuple[tuple[str, int], ...] = ()


class Shades:
    """The colours of one chart with the places that they may be given.

    Parameters
    ----------
    candidates : Candidates
        Whose thread is matched to chart colours.
    assignments : sequence of sequence of Assignment
        For each colour of the chart, in its order.
    weight : int
        What a point counts.
    """

    def __init__(
        self,
        candidates: Candidates,
        assignments: Sequence[Sequence[Assignment]],
        weight: int,
        settings: FrontierSettings,
    ) -> None:
        self.candidates, self.weight, self.settings = candidates, weight, settings
        self.pools, _ = pools(candidates.brief)
        keep = candidates.brief.choose.keep
        self.kept = frozenset(row.sku for row in candidates.threads if row.sku in keep)
        in_stock = ([g for g in colour if self._in_stock(g)] for colour in assignments)
        self.assignments = self._worth_a_look(list(in_stock))

    def frontier(self, limit: int) -> Frontier:
        """Return what all colours come to, at no more than `limit`.

        Raises
        ------
        StateLimitReached
            If too many colours want the same.
        """
        if not self.kept <= {
            assignment.thread.sku for assignment in self._of(range(len(self.assignments)))
        }:
            return frontier_of([], limit, self.settings)
        parts = [self._group(group, limit) for group in self._groups()]
        return reduce(lambda one, other: sum_of(one, other, limit, self.settings), parts)

    # One giving

    def _in_stock(self, assignment: Assignment) -> bool:
        return in_stock(assignment.thread, self.pools * assignment.skeins)

    def _cost(self, assignment: Assignment) -> int:
        return self.pools * assignment.skeins * assignment.thread.price

    def _points(self, assignment: Assignment) -> int:
        return self.weight * assignment.place.points

    def _line(self, sku: str, skeins: int) -> tuple[Line, ...]:
        return ((0, sku, self.pools * skeins),) if sku else ()

    def _option(self, assignment: Assignment, cost: int, lines: tuple[Line, ...]) -> Option:
        place = (assignment.colour, assignment.place.key)
        taken = Contents(tuple(sorted(lines)), (place,), ((assignment.colour, assignment.place),))
        return Option(cost, self._points(assignment), taken)

    # Leaving out what another place does as well

    def _worth_a_look(self, assignments: list[list[Assignment]]) -> list[list[Assignment]]:
        """Leave out places that are beaten by more others than there are colours to take those."""
        wanted: dict[tuple[str, int], set[int]] = defaultdict(set)
        for colour in assignments:
            for assignment in colour:
                wanted[assignment.place.key].add(assignment.colour)
        found = []
        for number, colour in enumerate(assignments):
            kept: list[Assignment] = []
            ranked = sorted(colour, key=lambda g: (self._cost(g), -self._points(g), g.place.key))
            for assignment in ranked:
                beaten_by = [g for g in kept if self._beats(g, assignment)]
                rivals = {c for g in beaten_by for c in wanted[g.place.key]} - {number}
                if len(beaten_by) <= len(rivals) or assignment.thread.sku in self.kept:
                    kept.append(assignment)
            found.append(kept)
        return found

    def _beats(self, one: Assignment, other: Assignment) -> bool:
        """Tell whether `one`, which costs no more, does all that `other` does for its colour."""
        till, more = self.candidates.brief.register, self._points(one) - self._points(other)
        if till.has_gap and self._cost(one) < self._cost(other):
            return False
        if _is_pack(one):
            # What a pack costs depends on who else is given its colours.
            return False
        if _is_pack(other):
            # And a pack may cost nothing more, so that only what is free beats its places.
            return self._cost(one) == 0 and more > 0
        if more:
            return more > 0
        cheaper = till.window == 1 and self._cost(one) < self._cost(other)
        # Shades at home make no line: where kits tie, they come neither first nor last.
        return cheaper or "" < one.thread.sku < other.thread.sku

    # Groups of colours that meet

    def _shared(self, assignment: Assignment) -> tuple[str, int] | str:
        """Return what a giving may share with others: the pack, or else the place."""
        return assignment.thread.sku if _is_pack(assignment) else assignment.place.key

    def _groups(self) -> list[list[int]]:
        """Return the colours in groups that share nothing with each other."""
        group = {number: [number] for number in range(len(self.assignments))}
        owner: dict[tuple[str, int] | str, int] = {}
        for number, colour in enumerate(self.assignments):
            for assignment in colour:
                tied = [self._shared(assignment)]
                if assignment.thread.sku in self.kept:
                    tied.append(assignment.thread.sku)
                for thing in tied:
                    first = group[owner.setdefault(thing, number)]
                    mine = group[number]
                    if first is not mine:
                        first += mine
                        group |= dict.fromkeys(mine, first)
        return [sorted(members) for members in {id(g): g for g in group.values()}.values()]

    def _group(self, group: list[int], limit: int) -> Frontier:
        (number, *rest) = group
        kept = {sku for sku in self.kept if any(g.thread.sku == sku for g in self._of(group))}
        if not rest and not kept:
            return frontier_of(
                (self._alone(g) for g in self.assignments[number]), limit, self.settings
            )
        return self._walk(group, kept, limit)

    def _of(self, group: Iterable[int]) -> Iterator[Assignment]:
        for number in group:
            yield from self.assignments[number]

    def _alone(self, assignment: Assignment) -> Option:
        return self._option(
            assignment, self._cost(assignment), self._line(assignment.thread.sku, assignment.skeins)
        )

    def _walk(self, group: list[int], kept: set[str], limit: int) -> Frontier:
        """Go through colours that meet, one after the other."""
        states: dict[_State, Frontier] = {
            _State(): frontier_of([Option(0, 0, Contents())], 0, self.settings)
        }
        wanted = _Wanted(self.assignments[number] for number in group)
        if self._surely_tangled(group, wanted):
            raise StateLimitReached
        for at, number in enumerate(group):
            to: dict[_State, dict[_State, list[Option]]] = defaultdict(lambda: defaultdict(list))
            missing = {sku for sku in kept if wanted.last[sku] == at}
            for state in states:
                for assignment in self.assignments[number]:
                    if assignment.place.key in state.places:
                        continue
                    after, option = self._give(assignment, state, at, wanted, kept)
                    if missing <= {sku for _, sku, _ in option.taken.lines}:
                        to[after][state].append(option)
            if len(to) > _MOST_STATES:
                raise StateLimitReached
            states = {
                after: union_of(
                    [
                        sum_of(
                            states[state],
                            frontier_of(options, limit, self.settings),
                            limit,
                            self.settings,
                        )
                        for state, options in ways.items()
                    ],
                    self.settings,
                )
                for after, ways in to.items()
            }
        return union_of(list(states.values()), self.settings)

    def _surely_tangled(self, group: list[int], wanted: _Wanted) -> bool:
        """Tell whether some of the colours can take more sets of places than are followed."""
        for taken in range(1, len(group)):
            # Places that a colour may take, and that are asked for later on.
            many = (
                sum(
                    wanted.last[assignment.place.key] >= taken
                    for assignment in self.assignments[number]
                )
                for number in group[:taken]
            )
            if comb(min(many), taken) > _MOST_STATES:
                return True
        return False

    def _give(
        self, assignment: Assignment, state: _State, at: int, wanted: _Wanted, kept: set[str]
    ) -> tuple[_State, Option]:
        """Return what is remembered after a place was given, and the step it makes.

        A pack's line is known when no later colour asks for it.
        """
        sku, packs = assignment.thread.sku, dict(state.packs)
        cost, lines = self._cost(assignment), self._line(sku, assignment.skeins)
        if sku in kept or _is_pack(assignment):
            before = packs.get(sku, 0)
            packs[sku] = max(before, assignment.skeins)
            cost, lines = self.pools * (packs[sku] - before) * assignment.thread.price, ()
        for done in [sku for sku in packs if wanted.last[sku] == at]:
            lines += self._line(done, packs.pop(done))
        places = state.places | {assignment.place.key}
        after = _State(
            frozenset(place for place in places if wanted.last[place] > at),
            tuple(sorted(packs.items())),
        )
        return after, self._option(assignment, cost, lines)


class _Wanted:
    """Until which of some colours, by their order, each place and each row is asked for."""

    def __init__(self, colours: Iterable[Sequence[Assignment]]) -> None:
        self.last: dict[tuple[str, int] | str, int] = {}
        for at, assignments in enumerate(colours):
            for assignment in assignments:
                self.last |= {assignment.place.key: at, assignment.thread.sku: at}


def _is_pack(assignment: Assignment) -> bool:
    return bool(assignment.thread.sku) and len(assignment.thread.colours) > 1
