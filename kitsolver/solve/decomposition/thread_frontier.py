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

from kitsolver.solve import rules
from kitsolver.solve.decomposition.frontier import (
    Line,
    Mint,
    Option,
    Staircase,
    Taken,
    TooTangled,
    both,
    choices,
    either,
)
from kitsolver.solve.candidates.candidate import Place, Thread
from kitsolver.solve.candidates.candidates import Offers

# More ways to have taken places and packs than this are left to a solver.
_MOST_STATES = 600


class Giving(NamedTuple):
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
    offers : Offers
        Whose thread is matched to chart colours.
    givings : sequence of sequence of Giving
        For each colour of the chart, in its order.
    weight : int
        What a point counts.
    """

    def __init__(
        self, offers: Offers, givings: Sequence[Sequence[Giving]], weight: int, mint: Mint
    ) -> None:
        self.offers, self.weight, self.mint = offers, weight, mint
        self.pools, _ = rules.pools(offers.brief)
        keep = offers.brief.choose.keep
        self.kept = frozenset(row.sku for row in offers.threads if row.sku in keep)
        in_stock = ([g for g in colour if self._in_stock(g)] for colour in givings)
        self.givings = self._worth_a_look(list(in_stock))

    def staircase(self, limit: int) -> Staircase:
        """Return what all colours come to, at no more than `limit`.

        Raises
        ------
        TooTangled
            If too many colours want the same.
        """
        if not self.kept <= {giving.thread.sku for giving in self._of(range(len(self.givings)))}:
            return choices([], limit, self.mint)
        parts = [self._group(group, limit) for group in self._groups()]
        return reduce(lambda one, other: both(one, other, limit, self.mint), parts)

    # One giving

    def _in_stock(self, giving: Giving) -> bool:
        return self.pools * giving.skeins <= giving.thread.stock

    def _cost(self, giving: Giving) -> int:
        return self.pools * giving.skeins * giving.thread.price

    def _points(self, giving: Giving) -> int:
        return self.weight * giving.place.points

    def _line(self, sku: str, skeins: int) -> tuple[Line, ...]:
        return ((0, sku, self.pools * skeins),) if sku else ()

    def _option(self, giving: Giving, cost: int, lines: tuple[Line, ...]) -> Option:
        place = (giving.colour, giving.place.key)
        taken = Taken(tuple(sorted(lines)), (place,), ((giving.colour, giving.place),))
        return Option(cost, self._points(giving), taken)

    # Leaving out what another place does as well

    def _worth_a_look(self, givings: list[list[Giving]]) -> list[list[Giving]]:
        """Leave out places that are beaten by more others than there are colours to take those."""
        wanted: dict[tuple[str, int], set[int]] = defaultdict(set)
        for colour in givings:
            for giving in colour:
                wanted[giving.place.key].add(giving.colour)
        found = []
        for number, colour in enumerate(givings):
            kept: list[Giving] = []
            ranked = sorted(colour, key=lambda g: (self._cost(g), -self._points(g), g.place.key))
            for giving in ranked:
                beaten_by = [g for g in kept if self._beats(g, giving)]
                rivals = {c for g in beaten_by for c in wanted[g.place.key]} - {number}
                if len(beaten_by) <= len(rivals) or giving.thread.sku in self.kept:
                    kept.append(giving)
            found.append(kept)
        return found

    def _beats(self, one: Giving, other: Giving) -> bool:
        """Tell whether `one`, which costs no more, does all that `other` does for its colour."""
        till, more = self.offers.brief.register, self._points(one) - self._points(other)
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

    def _shared(self, giving: Giving) -> tuple[str, int] | str:
        """Return what a giving may share with others: the pack, or else the place."""
        return giving.thread.sku if _is_pack(giving) else giving.place.key

    def _groups(self) -> list[list[int]]:
        """Return the colours in groups that share nothing with each other."""
        group = {number: [number] for number in range(len(self.givings))}
        owner: dict[tuple[str, int] | str, int] = {}
        for number, colour in enumerate(self.givings):
            for giving in colour:
                tied = [self._shared(giving)]
                if giving.thread.sku in self.kept:
                    tied.append(giving.thread.sku)
                for thing in tied:
                    first = group[owner.setdefault(thing, number)]
                    mine = group[number]
                    if first is not mine:
                        first += mine
                        group |= dict.fromkeys(mine, first)
        return [sorted(members) for members in {id(g): g for g in group.values()}.values()]

    def _group(self, group: list[int], limit: int) -> Staircase:
        (number, *rest) = group
        kept = {sku for sku in self.kept if any(g.thread.sku == sku for g in self._of(group))}
        if not rest and not kept:
            return choices((self._alone(g) for g in self.givings[number]), limit, self.mint)
        return self._walk(group, kept, limit)

    def _of(self, group: Iterable[int]) -> Iterator[Giving]:
        for number in group:
            yield from self.givings[number]

    def _alone(self, giving: Giving) -> Option:
        return self._option(
            giving, self._cost(giving), self._line(giving.thread.sku, giving.skeins)
        )

    def _walk(self, group: list[int], kept: set[str], limit: int) -> Staircase:
        """Go through colours that meet, one after the other."""
        states: dict[_State, Staircase] = {_State(): choices([Option(0, 0, Taken())], 0, self.mint)}
        wanted = _Wanted(self.givings[number] for number in group)
        if self._surely_tangled(group, wanted):
            raise TooTangled
        for at, number in enumerate(group):
            to: dict[_State, dict[_State, list[Option]]] = defaultdict(lambda: defaultdict(list))
            missing = {sku for sku in kept if wanted.last[sku] == at}
            for state in states:
                for giving in self.givings[number]:
                    if giving.place.key in state.places:
                        continue
                    after, option = self._give(giving, state, at, wanted, kept)
                    if missing <= {sku for _, sku, _ in option.taken.lines}:
                        to[after][state].append(option)
            if len(to) > _MOST_STATES:
                raise TooTangled
            states = {
                after: either(
                    [
                        both(states[state], choices(options, limit, self.mint), limit, self.mint)
                        for state, options in ways.items()
                    ],
                    self.mint,
                )
                for after, ways in to.items()
            }
        return either(list(states.values()), self.mint)

    def _surely_tangled(self, group: list[int], wanted: _Wanted) -> bool:
        """Tell whether some of the colours can take more sets of places than are followed."""
        for taken in range(1, len(group)):
            # Places that a colour may take, and that are asked for later on.
            many = (
                sum(wanted.last[giving.place.key] >= taken for giving in self.givings[number])
                for number in group[:taken]
            )
            if comb(min(many), taken) > _MOST_STATES:
                return True
        return False

    def _give(
        self, giving: Giving, state: _State, at: int, wanted: _Wanted, kept: set[str]
    ) -> tuple[_State, Option]:
        """Return what is remembered after a place was given, and the step it makes.

        A pack's line is known when no later colour asks for it.
        """
        sku, packs = giving.thread.sku, dict(state.packs)
        cost, lines = self._cost(giving), self._line(sku, giving.skeins)
        if sku in kept or _is_pack(giving):
            before = packs.get(sku, 0)
            packs[sku] = max(before, giving.skeins)
            cost, lines = self.pools * (packs[sku] - before) * giving.thread.price, ()
        for done in [sku for sku in packs if wanted.last[sku] == at]:
            lines += self._line(done, packs.pop(done))
        places = state.places | {giving.place.key}
        after = _State(
            frozenset(place for place in places if wanted.last[place] > at),
            tuple(sorted(packs.items())),
        )
        return after, self._option(giving, cost, lines)


class _Wanted:
    """Until which of some colours, by their order, each place and each row is asked for."""

    def __init__(self, colours: Iterable[Sequence[Giving]]) -> None:
        self.last: dict[tuple[str, int] | str, int] = {}
        for at, givings in enumerate(colours):
            for giving in givings:
                self.last |= {giving.place.key: at, giving.thread.sku: at}


def _is_pack(giving: Giving) -> bool:
    return bool(giving.thread.sku) and len(giving.thread.colours) > 1
