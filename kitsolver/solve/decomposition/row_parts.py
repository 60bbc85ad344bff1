"""Rows that are chosen from together, as frontiers: plain needs, and extras by their category."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from enum import Enum

from kitsolver.solve import rules
from kitsolver.solve.candidates.candidate import Candidate
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.contents import Contents, Option
from kitsolver.solve.decomposition.frontier import Frontier, frontier_of, sum_of, union_of
from kitsolver.solve.decomposition.frontier_settings import Bounds, FrontierSettings
from kitsolver.solve.decomposition.objective import Objective


class Slot(Enum):
    """What a row is taken as; a place of thread is taken for a colour, by its number."""

    NEED = "need"
    EXTRA = "extra"


class RowPart:
    """Rows that are chosen from together, and how."""

    def __init__(
        self, rows: Sequence[Candidate], choose: Callable[[Iterable[Candidate]], Frontier]
    ) -> None:
        self.rows, self.choose = rows, choose
        self._concerning = [(row, rules.concerning(row)) for row in rows]
        # Several keys leave the same rows.
        self._known: dict[tuple[str, ...], Frontier] = {}

    def compatible_with(self, key: tuple[Hashable, ...]) -> Frontier:
        """Return the frontier of the rows that go with a chart and fabric of some key."""
        rows = [
            row
            for row, concerning in self._concerning
            if all(rule.accepts(row, key[place]) for place, rule in concerning)
        ]
        skus = tuple(row.sku for row in rows)
        if skus not in self._known:
            self._known[skus] = self.choose(rows)
        return self._known[skus]

    @property
    def tied(self) -> bool:
        """Whether it depends on the fabric which of the rows may be taken."""
        return any(concerning for _, concerning in self._concerning)


class RowParts:
    """The parts of a chart's choices that are rows, chosen apart from thread.

    Parameters
    ----------
    candidates : Candidates
        The chart is the only one.
    objective : Objective
        What worths mean.
    limit : int
        No part costs more, in minor units.
    settings : FrontierSettings
        Of all frontiers.
    """

    def __init__(
        self, candidates: Candidates, objective: Objective, limit: int, settings: FrontierSettings
    ) -> None:
        self.candidates, self.objective, self.brief = candidates, objective, candidates.brief
        self.limit, self.settings = limit, settings
        keep = self.brief.choose.keep
        self.kept = {extra.category for extra in candidates.extras if extra.sku in keep}
        self.forced = self.kept | candidates.forced

    def choice(self, options: Iterable[Option]) -> Frontier:
        """Return the frontier of options, of which one is chosen."""
        return frontier_of(options, Bounds(self.limit), self.settings)

    def need(self, candidate: Candidate, units: int) -> Option:
        """Return some units of a candidate as the choice of a need."""
        weight = self.candidates.weights.get(candidate.category, 0)
        weighed = self.objective.times * weight * candidate.points
        return _option(candidate, units, self.objective.worth_of_need(weighed), Slot.NEED)

    def _extra(self, candidate: Candidate) -> Option:
        worth = self.objective.worth_of_extra(candidate.points)
        return _option(candidate, candidate.units, worth, Slot.EXTRA)

    def all(self) -> Iterator[RowPart]:
        """Yield what is chosen apart from fabric and thread; extras together if limited."""
        for need in self.candidates.plain_needs:
            yield RowPart(self.candidates.needs[need], self.one)
        by_category = self._by_category(self.candidates.extras)
        most = self.brief.extras.most
        if most is None or most >= len(by_category):
            for category, rows in by_category.items():
                yield RowPart(
                    rows, self._one_extra if category in self.forced else self._at_most_one
                )
        else:
            yield RowPart(self.candidates.extras, self._some)

    def _by_category(self, extras: Iterable[Candidate]) -> dict[str, list[Candidate]]:
        """Return extras by category: where one is kept, no other."""
        found: dict[str, list[Candidate]] = {category: [] for category in sorted(self.forced)}
        for extra in extras:
            rows = found.setdefault(extra.category, [])
            if extra.category not in self.kept or extra.sku in self.brief.choose.keep:
                rows.append(extra)
        return found

    def one(self, rows: Iterable[Candidate]) -> Frontier:
        """Return the frontier of rows of a need, of which one is chosen."""
        return self.choice(self.need(row, row.units) for row in rows)

    def _one_extra(self, rows: Iterable[Candidate]) -> Frontier:
        return self.choice(self._extra(row) for row in rows)

    def _at_most_one(self, rows: Iterable[Candidate]) -> Frontier:
        return self.choice([_NONE, *map(self._extra, rows)])

    def _some(self, rows: Iterable[Candidate]) -> Frontier:
        """Return the frontier of no more extras than asked, counted as they are added."""
        nothing, bounds = self.choice([]), Bounds(self.limit)
        numbered = [self.choice([_NONE]), *[nothing] * (self.brief.extras.most or 0)]
        for category, alike in self._by_category(rows).items():
            one = self._one_extra(alike)
            more = [sum_of(fewer, one, bounds, self.settings) for fewer in numbered[:-1]]
            as_before = [nothing] * len(numbered) if category in self.forced else numbered
            numbered = [
                union_of([same, *another], self.settings)
                for same, another in zip(as_before, [[], *([m] for m in more)], strict=True)
            ]
        return union_of(numbered, self.settings)


_NONE = Option(0, 0, Contents())


def _option(candidate: Candidate, units: int, worth: int, slot: Slot) -> Option:
    lines = ((0, candidate.sku, units),) if candidate.sku else ()
    return Option(candidate.cost_of(units), worth, Contents(lines, (), ((slot, candidate),)))
