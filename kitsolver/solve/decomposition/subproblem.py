"""Everything that a kit with one chart can be, as one staircase.

The effective count ties fabric, needle and thread to each other, and a hoop ties itself to the
fabric. What neither ties is added up once; for each count, and each set of hoops that a fabric
takes, what is left are choices that do not know of each other, and their staircases add up.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from enum import Enum
from fractions import Fraction
from typing import NamedTuple

from kitsolver.craft.thread import Charted
from kitsolver.solve import rules
from kitsolver.solve.candidates.candidate import Candidate, Fabric, Place
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.quantities import fabric_units, skeins_of
from kitsolver.solve.decomposition.frontier import (
    Contents,
    Frontier,
    FrontierSettings,
    Option,
    frontier_of,
    sum_of,
    union_of,
)
from kitsolver.solve.decomposition.objective import Objective
from kitsolver.solve.decomposition.thread_frontier import Assignment, Shades
from kitsolver.solve.rules.stock import in_stock
from kitsolver.solve.time_limit import TimeLimit


class Slot(Enum):
    """What a row is taken as; a place of thread is taken for a colour, by its number."""

    NEED = "need"
    EXTRA = "extra"


class Subproblem:
    """The choices of one chart, by what they depend on."""

    def __init__(
        self,
        candidates: Candidates,
        worth: Objective,
        limit: int,
        time_limit: TimeLimit,
        *,
        gap: bool = True,
    ) -> None:
        self.candidates, self.worth, self.limit, self.brief = (
            candidates,
            worth,
            limit,
            candidates.brief,
        )
        (self.chart,) = candidates.charts
        till, keep = self.brief.register, self.brief.choose.keep
        free = till.free_from if gap and till.free_from <= limit else 0
        self.settings = FrontierSettings(free, till.window, worth.large, time_limit)
        self.kept = {extra.category for extra in candidates.extras if extra.sku in keep}
        parts = list(self._parts())
        self.tied = [part for part in parts if part.tied]
        self.loose = [part for part in parts if not part.tied]

    def frontier(self) -> Frontier:
        """Return what all choices of the chart come to, by goods total."""
        if self.candidates.unavailable_keeps or self.candidates.competing_keeps:
            return union_of([], self.settings)
        by_count: dict[Fraction | None, list[tuple[Fabric, int]]] = defaultdict(list)
        for fabric in self.candidates.fabrics:
            units = fabric_units(self.chart, fabric, self.brief)
            if units is not None and in_stock(fabric, units):
                by_count[fabric.count].append((fabric, units))
        chart = self._one([self.chart])
        loose = self._all([chart, *(part.choose(part.rows) for part in self.loose)])
        if not len(loose):
            return loose
        left = self.limit - int(loose.cost[0])
        tied = union_of(
            [self._at(count, cut, left) for count, cut in by_count.items()], self.settings
        )
        return self._all([loose, tied])

    def _at(
        self, count: Fraction | None, fabrics: list[tuple[Fabric, int]], limit: int
    ) -> Frontier:
        """Return what can be had at an effective count, of what is tied to it."""
        by_key: dict[tuple[Hashable, ...], list[tuple[Fabric, int]]] = defaultdict(list)
        for fabric, units in fabrics:
            key = rules.compatibility_key(self.chart, fabric, self.brief)
            by_key[key].append((fabric, units))
        cloth = []
        for key, cut in by_key.items():
            piece = self._choice(self._need(*one) for one in cut)
            tied = (
                part.choose([row for row in part.rows if rules.compatible(row, key)])
                for part in self.tied
            )
            cloth.append(self._all([piece, *tied]))
        rest = union_of(cloth, self.settings)
        if not len(rest):
            return rest
        return self._all([rest, *self._thread(count, limit - int(rest.cost[0]))])

    def _all(self, parts: list[Frontier]) -> Frontier:
        """Return the staircase of a step of each."""
        if not all(map(len, parts)):
            return union_of([], self.settings)
        parts.sort(key=len)
        rest = sum(int(part.cost[0]) for part in parts)
        whole = parts[0]
        rest -= int(whole.cost[0])
        for part in parts[1:]:
            rest -= int(part.cost[0])
            whole = sum_of(whole, part, self.limit - rest, self.settings)
            if not len(whole):
                break
        return whole

    def _choice(self, options: Iterable[Option]) -> Frontier:
        return frontier_of(options, self.limit, self.settings)

    def _need(self, candidate: Candidate, units: int) -> Option:
        weighed = (
            self.worth.times * self.candidates.weights.get(candidate.category, 0) * candidate.points
        )
        return _option(candidate, units, self.worth.of_need(weighed), Slot.NEED)

    def _extra(self, candidate: Candidate) -> Option:
        return _option(
            candidate, candidate.units, self.worth.of_extra(candidate.points), Slot.EXTRA
        )

    def _parts(self) -> Iterator[_Part]:
        """Return what is chosen apart from cloth and shades; extras together if limited."""
        for need in self.candidates.plain_needs:
            yield _Part(self.candidates.needs[need], self._one)
        by_category = self._by_category(self.candidates.extras)
        most = self.brief.extras.most
        if most is None or most >= len(by_category):
            for category, rows in by_category.items():
                yield _Part(rows, self._one_extra if category in self.kept else self._at_most_one)
        else:
            yield _Part(self.candidates.extras, self._some)

    def _by_category(self, extras: Iterable[Candidate]) -> dict[str, list[Candidate]]:
        """Return extras by category: where one is kept, no other."""
        found: dict[str, list[Candidate]] = {category: [] for category in sorted(self.kept)}
        for extra in extras:
            rows = found.setdefault(extra.category, [])
            if extra.category not in self.kept or extra.sku in self.brief.choose.keep:
                rows.append(extra)
        return found

    def _one(self, rows: Iterable[Candidate]) -> Frontier:
        return self._choice(self._need(row, row.units) for row in rows)

    def _one_extra(self, rows: Iterable[Candidate]) -> Frontier:
        return self._choice(self._extra(row) for row in rows)

    def _at_most_one(self, rows: Iterable[Candidate]) -> Frontier:
        return self._choice([_NONE, *map(self._extra, rows)])

    def _some(self, rows: Iterable[Candidate]) -> Frontier:
        """Return the staircase of no more extras than asked, by how many are taken on the way."""
        nothing = self._choice([])
        numbered = [self._choice([_NONE]), *[nothing] * (self.brief.extras.most or 0)]
        for category, alike in self._by_category(rows).items():
            one = self._one_extra(alike)
            more = [sum_of(fewer, one, self.limit, self.settings) for fewer in numbered[:-1]]
            as_before = [nothing] * len(numbered) if category in self.kept else numbered
            numbered = [
                union_of([same, *another], self.settings)
                for same, another in zip(as_before, [[], *([m] for m in more)], strict=True)
            ]
        return union_of(numbered, self.settings)

    def _thread(self, count: Fraction | None, limit: int) -> Iterator[Frontier]:
        if not self.candidates.matches_thread:
            return
        assignments = [
            [self._assignment(number, place, asked, count) for place in places]
            for number, (asked, places) in enumerate(
                zip(self.chart.shades or (), self.candidates.places(self.chart), strict=True)
            )
        ]
        weight = self.worth.of_need(self.candidates.weights["thread"])
        yield Shades(self.candidates, assignments, weight, self.settings).frontier(limit)

    def _assignment(
        self, number: int, place: Place, asked: Charted, count: Fraction | None
    ) -> Assignment:
        at_home = not place.thread.sku
        taken = 0 if at_home else skeins_of(place, asked, count, self.candidates.brief)
        return Assignment(number, place, taken)


class _Part(NamedTuple):
    """Rows that are chosen from together, and how."""

    rows: Sequence[Candidate]
    choose: Callable[[Iterable[Candidate]], Frontier]

    @property
    def tied(self) -> bool:
        """Whether it depends on the fabric which of the rows may be taken."""
        return any(map(rules.depends_on_fabric, self.rows))


_NONE = Option(0, 0, Contents())


def _option(candidate: Candidate, units: int, worth: int, slot: Slot) -> Option:
    lines = ((0, candidate.sku, units),) if candidate.sku else ()
    return Option(units * candidate.price, worth, Contents(lines, (), ((slot, candidate),)))
