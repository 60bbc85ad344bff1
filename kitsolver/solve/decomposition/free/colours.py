"""The thread that free colours choose from, the same for all charts, and what is known of it.

Charts whose colours take as many units of every thread row have the same best ways to be coloured,
so these are found once and kept.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from contextlib import suppress
from fractions import Fraction
from functools import cached_property
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from kitsolver.craft.colour import lightness
from kitsolver.craft.thread import Charted
from kitsolver.solve.candidates.candidate import Chart, Place, Thread
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.quantities import thread_units
from kitsolver.solve.decomposition.free.alike import AlikeColours
from kitsolver.solve.decomposition.free.needed import only_needed
from kitsolver.solve.decomposition.free.question import Found, Question, Steps
from kitsolver.solve.decomposition.free.walk import walk
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.rules.stock import in_stock
from kitsolver.solve.time_limit import TimeLimit

# With more places all best ways are too many: only those that reach a floor are looked for.
_MANY_PLACES = 300
# Of a larger pack every colour is counted as if all could be taken together.
_FEW_COLOURS = 10
# So many places that count points are remembered from the beginning.
_FEW_OF_WORTH = 150
# So many labels are made before it is given up to find all best ways.
_MOST_LABELS = 100_000

# In place of a kind of thread, where any will do.
ANY_KIND = ""

# By kind of thread, and by rows that hold as much, the units that a colour takes.
Taking = tuple[str, tuple[int, ...]]
# Packs by sku, with their units.
Bought = tuple[tuple[str, int], ...]


class FreeColours:
    """The places of all thread, from dark to light.

    Parameters
    ----------
    candidates : Candidates
        With free colours that keep their order from dark to light, and any number of charts.
    alike : AlikeColours
        Which of the colours of all thread are too alike.
    """

    def __init__(self, candidates: Candidates, alike: AlikeColours) -> None:
        self.candidates, self.brief, self.alike = candidates, candidates.brief, alike
        self.counted = candidates.weights["thread"] > 0
        self.kept = frozenset(
            row.sku for row in candidates.threads if row.sku in self.brief.choose.keep
        )
        self._apart: dict[str, int] = {}
        self._taking: dict[tuple[Charted, Fraction | None], Taking] = {}
        self._walked: dict[tuple[object, ...], list[list[Found]] | None] = {}

    @cached_property
    def places(self) -> list[Place]:
        """Every place once, in the order of the tie-break."""
        near = {id(one): one for one in self.candidates.near.near.values()}
        found = {place.key: place for one in near.values() for place in one.listed}
        return [found[key] for key in sorted(found)]

    @cached_property
    def _sequence(self) -> list[Place]:
        """The places from dark to light.

        Where two that are equally light may be taken together, either may come first: so all
        that are as light come as many times as there are.
        """
        light = lightness([place.colour for place in self.places]).tolist() if self.places else []
        by_lightness: dict[int, list[Place]] = defaultdict(list)
        for value, place in zip(light, self.places, strict=True):
            by_lightness[value].append(place)
        found: list[Place] = []
        for _, alike in sorted(by_lightness.items()):
            together = len(alike) > 1 and self._some_go_together(alike)
            found += alike * (len(alike) if together else 1)
        return found

    def _some_go_together(self, places: Sequence[Place]) -> bool:
        """Tell whether some two of the places can be taken together."""
        return not self.alike.among([place.colour for place in places]).all()

    @cached_property
    def steps(self) -> Steps:
        """The places from dark to light, as a walk goes through them."""
        rank = {place.key: number for number, place in enumerate(self.places)}
        sequence = self._sequence
        return Steps(
            [place.thread for place in sequence],
            [place.points if self.counted else 0 for place in sequence],
            [rank[place.key] for place in sequence],
            list(self._too_alike()),
        )

    def _too_alike(self) -> Iterator[int]:
        """Yield for each step the later ones that are too alike, as bits."""
        sequence = self._sequence
        own = [place.key for place in sequence]
        again = {key for key in own if own.count(key) > 1} if len(set(own)) < len(own) else set()
        table = self.alike.among([place.colour for place in sequence])
        for at, (key, bits) in enumerate(zip(own, table, strict=True)):
            bits[: at + 1] = False
            if key in again:
                bits |= np.array([n > at and other == key for n, other in enumerate(own)])
            yield int.from_bytes(np.packbits(bits, bitorder="little").tobytes(), "little")

    @cached_property
    def _kinds(self) -> dict[str, set[tuple[str, int]]]:
        """By kind that a chart asks for, the keys of the places that will do."""
        found: dict[str, set[tuple[str, int]]] = {}
        for (_, kind), near in self.candidates.near.near.items():
            if kind not in found:
                found[kind] = {place.key for place in near.listed}
        found[ANY_KIND] = set().union(*found.values())
        return found

    @cached_property
    def _sizes(self) -> dict[tuple[int, int, bool], tuple[int, Thread]]:
        """By what decides how many units are taken: a number, and a row."""
        rows = {_size(thread): thread for thread in self.candidates.threads}
        return {size: (number, rows[size]) for number, size in enumerate(sorted(rows))}

    def taking(self, asked: Charted, count: Fraction | None) -> Taking:
        """Return what a chart colour takes of each row at an effective count."""
        key = asked._replace(colour=""), count
        if key not in self._taking:
            rows = (row for _, row in self._sizes.values())
            units = tuple(thread_units(row, asked, count, self.brief) for row in rows)
            self._taking[key] = asked.kind, units
        return self._taking[key]

    @cached_property
    def _remembered(self) -> list[int]:
        worth = [at for at, points in enumerate(self.steps.points) if points]
        return [sum(1 << at for at in worth) if len(worth) <= _FEW_OF_WORTH else 0]

    @property
    def remembered(self) -> int:
        """What labels remember where there are many places, as bits; more with each question.

        At first these are the places that count points, if they are few.
        """
        return self._remembered[0]

    @property
    def many_places(self) -> bool:
        """Whether all best ways are too many, and ties among them are not broken."""
        return len(self._sequence) > _MANY_PLACES

    def remember(self, marked: Sequence[Found]) -> None:
        """Let labels remember the places of some ways that later ones are too like to."""
        steps: dict[int, list[int]] = defaultdict(list)
        for at, rank in enumerate(self.steps.rank):
            steps[rank].append(at)
        for found in marked:
            taken = [at for rank in found.ranks for at in steps[rank]]
            for at in taken:
                if any(self.steps.too_alike[at] >> other & 1 for other in taken):
                    self._remembered[0] |= 1 << at

    def alike_places(self, ranks: Sequence[int]) -> NDArray[np.bool_]:
        """Return which of some places are too alike: shape (n, n)."""
        return self.alike.among([self.places[rank].colour for rank in ranks])

    def units_of(self, place: Place, taking: Taking) -> int:
        """Return the units that a colour takes of a place's row."""
        return taking[1][self._sizes[_size(place.thread)][0]]

    def order(self, chart: Chart) -> list[int]:
        """Return the numbers of a chart's colours, the darkest first.

        Raises
        ------
        StateLimitReached
            If two are equally light, so that their order is open.
        """
        light = lightness([asked.colour for asked in chart.shades or ()]).tolist()
        if len(set(light)) < len(light):
            raise StateLimitReached
        return sorted(range(len(light)), key=lambda number: light[number])

    def units(self, taking: Taking, barred: frozenset[str]) -> list[int]:
        """Return the units that a colour takes of each step; below zero where it may not.

        Parameters
        ----------
        barred : frozenset of str
            The thread colours that are too like the cloth.
        """
        allowed = self._kinds[taking[0]]
        found = []
        for place in self._sequence:
            units = self.units_of(place, taking)
            usable = place.key in allowed and place.colour not in barred
            found.append(units if usable and in_stock(place.thread, units) else -1)
        return found

    @cached_property
    def packs(self) -> dict[str, Thread]:
        """The packs by sku, in its order."""
        rows = {thread.sku: thread for thread in self.steps.threads if len(thread.colours) > 1}
        return {sku: rows[sku] for sku in sorted(rows) if sku}

    def most_apart(self, pack: Thread) -> int:
        """Return how many colours of a pack can be taken together, or more."""
        if pack.sku not in self._apart:
            alike = self.alike.among(pack.colours)
            numbers = range(len(pack.colours) if len(pack.colours) <= _FEW_COLOURS else 0)
            sets = (s for size in range(len(numbers), 0, -1) for s in combinations(numbers, size))
            apart = (s for s in sets if not any(alike[one, two] for one, two in combinations(s, 2)))
            self._apart[pack.sku] = len(next(apart, pack.colours))
        return self._apart[pack.sku]

    def question(
        self, taking: Sequence[Taking], barred: frozenset[str], bought: Bought, equal_cost: bool
    ) -> Question:
        """Return the question for some colours, the darkest first.

        Parameters
        ----------
        bought : tuple of (str, int)
            The packs of which places may be taken, and in how many units they are bought.
        """
        most = dict(bought)
        units = {}
        for one in set(taking):
            each = self.units(one, barred)
            for at, thread in enumerate(self.steps.threads):
                if thread.sku in self.packs and each[at] > most.get(thread.sku, -1):
                    each[at] = -1
            units[one] = each
        return Question([units[one] for one in taking], frozenset(most), self.kept, equal_cost)

    def as_few_units(self, taking: Sequence[Taking], number: int) -> list[Taking]:
        """Return so many colours of which each takes as few units as any, of any kind of thread."""
        least = tuple(map(min, zip(*(units for _, units in taking), strict=True)))
        return [(ANY_KIND, least)] * number

    def shared(self, taking: Sequence[Taking]) -> tuple[Taking, ...]:
        """Return colours such that charts of more colours, all alike, share an answer."""
        if len(set(taking)) > 1:
            return tuple(taking)
        return tuple(taking[:1]) * next(size for size in _shared_sizes() if size >= len(taking))

    def walked(
        self,
        taking: Sequence[Taking],
        barred: frozenset[str],
        bought: Bought,
        equal_cost: bool,
        time_limit: TimeLimit,
    ) -> list[list[Found]] | None:
        """Return for each number of first colours the best ways; None if they are too many.

        What is bought of packs is not counted, and of ways that cost and count alike one is there.

        Raises
        ------
        OutOfTime
            If there is no time left.
        """
        if self.many_places:
            return None
        every = self.shared(taking)
        key = every, barred, bought, equal_cost
        if key not in self._walked:
            self._walked[key] = None
            with suppress(StateLimitReached):
                steps, question = self.steps, self.question(every, barred, bought, equal_cost)
                if not equal_cost and len(set(every)) == 1:
                    steps, question = only_needed(steps, question, self.alike_places)
                self._walked[key] = walk(steps, question, _MOST_LABELS, time_limit.check)
        return self._walked[key]


def _shared_sizes() -> Iterator[int]:
    """Yield numbers of colours, each half as large again."""
    size = 6
    while True:
        yield size
        size += size // 2


def _size(thread: Thread) -> tuple[int, int, bool]:
    """Return what decides how many units of a thread row a colour takes."""
    return thread.skein_length, thread.home_length, bool(thread.sku)
