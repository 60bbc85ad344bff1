"""Upper bounds of the kits of one chart, by the rows that they hold for needs.

A kit of a chart holds one row for each need but matched thread. Each combination of such rows
leaves some money for the rest, and what the rest is worth at most for that money is a minimum over
multipliers, as in `kitsolver.solve.decomposition.upper_bound`. So every combination has an upper
bound of its own, and whatever rows are left out, the highest of those that remain is a bound.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import reduce
from math import ceil, prod
from typing import NamedTuple

import numpy as np

from kitsolver.solve import rules
from kitsolver.solve.candidates.candidate import Candidate, Fabric
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.at_count import AtCount
from kitsolver.solve.decomposition.objective import SCORE_UNIT
from kitsolver.solve.decomposition.runs import NEVER, Ints
from kitsolver.solve.decomposition.subproblem import Subproblem
from kitsolver.solve.figures import unit_of

# With more combinations of rows than this there are no bounds.
_MOST_COMBINATIONS = 1 << 17
# The multipliers that are tried, as factors of one at which the chart is bounded closely.
_FACTORS = (0, *(2.0 ** (step / 2) for step in range(-7, 6)))


class _AtCount(NamedTuple):
    """The combinations at one effective count.

    Parameters
    ----------
    skus : sequence of sequence of str
        Of the rows of each need, in the needs' order.
    bounds : array of int64
        One axis a need; in 1024ths of weighed points, times the chart's colours.
    """

    skus: Sequence[Sequence[str]]
    bounds: Ints

    def without(self, left_out: Collection[str]) -> Ints:
        """Return the bounds of the combinations that hold none of some rows."""
        kept = ([at for at, sku in enumerate(of) if sku not in left_out] for of in self.skus)
        return self.bounds[np.ix_(*kept)]


class RowBounds:
    """Upper bounds of the kits of one chart.

    Parameters
    ----------
    candidates : Candidates
        The chart is the only one, and choices are tied by nothing but the goods total. Of needs
        no row is left out because others dominate it.
    subproblem : Subproblem
        Of the chart.
    """

    def __init__(self, candidates: Candidates, subproblem: Subproblem) -> None:
        self.candidates, self.brief = candidates, candidates.brief
        self.times = subproblem.objective.times
        self.limit = candidates.most_goods(self.brief.total_cap)
        (self.chart,) = candidates.charts
        self.needs = ("fabric", *candidates.plain_needs)
        by_count: dict[Fraction | None, list[tuple[Fabric, int]]] = defaultdict(list)
        for fabric in candidates.fabrics:
            units = rules.units_with(self.chart, fabric, self.brief)
            if units is not None:
                by_count[fabric.count].append((fabric, units))
        multipliers = sorted({int(subproblem.multiplier * factor) for factor in _FACTORS})
        self.counts = [
            self._at_count(at, by_count[at.count], multipliers)
            for at in subproblem.counts
            if by_count[at.count]
        ]

    @staticmethod
    def possible(candidates: Candidates, subproblem: Subproblem) -> bool:
        """Tell whether there are bounds: whether rows are not too many, and sums not too large."""
        objective = subproblem.objective
        rows = [candidates.needs[need] for need in ("fabric", *candidates.plain_needs)]
        few = prod(map(len, rows)) <= _MOST_COMBINATIONS
        return few and not (objective.large or objective.together or candidates.tied)

    def most(self, left_out: Collection[str]) -> Fraction | None:
        """Return what the first figure of no kit without some rows exceeds.

        None if there is no kit.
        """
        most = max(
            (int(at.without(left_out).max(initial=NEVER)) for at in self.counts), default=NEVER
        )
        if most <= NEVER:
            return None
        return Fraction(most, SCORE_UNIT * self.times * unit_of(self.candidates))

    def reaching(self, first: Fraction, left_out: Collection[str]) -> Candidates:
        """Return the candidates of needs with which a kit without some rows may reach a figure."""
        floor = ceil(first * SCORE_UNIT * self.times * unit_of(self.candidates))
        used: dict[str, set[str]] = defaultdict(set)
        for at in self.counts:
            kept = [[sku for sku in of if sku not in left_out] for of in at.skus]
            reach = np.argwhere(at.without(left_out) >= floor)
            for need, skus, column in zip(self.needs, kept, reach.T, strict=True):
                used[need] |= {skus[number] for number in np.unique(column).tolist()}
        needs = {
            need: tuple(row for row in rows if need not in self.needs or row.sku in used[need])
            for need, rows in self.candidates.needs.items()
        }
        return replace(self.candidates, needs=needs)

    def _at_count(
        self, at: AtCount, fabrics: Sequence[tuple[Fabric, int]], multipliers: Sequence[int]
    ) -> _AtCount:
        rows = [self.candidates.needs[need] for need in self.candidates.plain_needs]
        weights = self.candidates.weights
        points = [np.array([weights.get("fabric", 0) * one.points for one, _ in fabrics])]
        points += [np.array([weights.get(r.category, 0) * r.points for r in of]) for of in rows]
        cost = [np.array([one.cost_of(units) for one, units in fabrics])]
        cost += [np.array([row.cost for row in of]) for of in rows]
        left = self.limit - self.chart.cost - reduce(np.add.outer, cost)
        worth = weights.get("chart", 0) * self.chart.points + reduce(np.add.outer, points)
        rest = np.full(left.shape, 2**62)
        for multiplier in multipliers:
            score = at.thread.best_score(multiplier) if at.thread else 0
            np.minimum(rest, score + multiplier * left, out=rest)
        bounds = SCORE_UNIT * self.times * worth + rest
        bounds[left < 0] = NEVER
        for number, of in enumerate(rows, start=1):
            together = np.array([list(self._compatible(of, fabric)) for fabric, _ in fabrics])
            shape = [len(fabrics), *(1 for _ in rows)]
            shape[number] = len(of)
            bounds = np.where(together.reshape(shape), bounds, NEVER)
        skus = [[one.sku for one, _ in fabrics], *([row.sku for row in of] for of in rows)]
        return _AtCount(skus, bounds)

    def _compatible(self, rows: Sequence[Candidate], fabric: Fabric) -> Iterator[bool]:
        key = rules.compatibility_key(self.chart, fabric, self.brief)
        return (rules.compatible(row, key) for row in rows)
