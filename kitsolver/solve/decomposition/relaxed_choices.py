"""What a relaxation chooses among: the rows of a need, or of extras, as points and costs."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from kitsolver.solve import rules
from kitsolver.solve.candidates.candidate import Candidate, Fabric
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.runs import Ints, Runs


@dataclass(frozen=True)
class Options:
    """The rows of which one is chosen: weighed points, and cost in minor units."""

    points: Ints
    cost: Ints

    def score(self, point: int, multiplier: int) -> Ints:
        """Return the score of each: what its points count, less the multiplier times its cost."""
        return point * self.points - multiplier * self.cost


def options_of(rows: Sequence[Candidate], weight: int, most_cost: int) -> Options:
    """Return rows as options, whose points have a weight; no cost is above `most_cost`."""
    points, cost = (row.points for row in rows), (min(row.cost, most_cost) for row in rows)
    return Options(weight * whole_numbers(points), whole_numbers(cost))


def runs_of(choices: Sequence[Options]) -> Runs:
    """Return the rows of several choices, one run for each choice."""
    run = np.repeat(np.arange(len(choices)), whole_numbers(len(each.cost) for each in choices))
    return Runs(
        run,
        np.concatenate([run[:0], *(each.points for each in choices)]),
        np.concatenate([run[:0], *(each.cost for each in choices)]),
        len(choices),
    )


def extras_of(candidates: Candidates) -> tuple[list[list[Candidate]], list[list[Candidate]]]:
    """Return extras by category: those of which one row is taken, and those that may be left."""
    keep = candidates.brief.choose.keep
    by_category: dict[str, list[Candidate]] = defaultdict(list)
    for extra in candidates.extras:
        by_category[extra.category].append(extra)
    owed, optional = [], []
    for category, rows in by_category.items():
        kept = [row for row in rows if row.sku in keep]
        if kept or category in candidates.forced:
            owed.append(kept or rows)
        else:
            optional.append(rows)
    return owed, optional


def tied_needs(candidates: Candidates) -> dict[str, tuple[Candidate, ...]]:
    """Return the plain needs of which some rows go with some effective counts only."""
    by_need = {need: candidates.needs[need] for need in candidates.plain_needs}
    return {need: rows for need, rows in by_need.items() if any(map(_tied_to_count, rows))}


def _tied_to_count(row: Candidate) -> bool:
    return any(rule.concerns(row) for rule in rules.BY_COUNT)


def suiting(
    rows: Sequence[Candidate], fabric: Fabric, candidates: Candidates
) -> Sequence[Candidate]:
    """Return the rows that go with a fabric's effective count."""
    chart, brief = candidates.charts[0], candidates.brief
    keys = {rule: rule.key(chart, fabric, brief) for rule in rules.BY_COUNT}
    return [
        row
        for row in rows
        if all(rule.accepts(row, key) for rule, key in keys.items() if rule.concerns(row))
    ]


def whole_numbers(values: Iterable[int]) -> Ints:
    """Return whole numbers as an array."""
    return np.fromiter(values, dtype=np.int64)
