"""An upper bound for every chart at once, without opening any.

Money is given a price, the multiplier. The score of a row is its weighed points less the multiplier
times its cost. At any multiplier, add up the best scores of all needs, and the multiplier times the
goods total that may be spent: no kit within that total has a higher first figure (a Lagrangian
relaxation; Everett 1963, recalled from memory). The least of these sums over a range of multipliers
is the upper bound.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cached_property

import numpy as np

from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.objective import SCORE_UNIT
from kitsolver.solve.decomposition.relaxation import Relaxation, colours_of, share
from kitsolver.solve.decomposition.runs import NEVER, Ints
from kitsolver.solve.decomposition.thread.bounds import ThreadBounds
from kitsolver.solve.decomposition.thread.parts import ThreadParts, colourable_charts
from kitsolver.solve.time_limit import TimeLimit

_MULTIPLIERS = 32
# More than any kit costs, and yet such that sums stay within 64 bits.
MOST_COST = 2**40
# Weighed points beyond this, times a chart's colours, could leave 64 bits: no bound is tried.
_MANY = 2**36


class UpperBounds:
    """The upper bounds of all charts, whatever may be spent.

    Parameters
    ----------
    candidates : Candidates
        With any number of charts.
    least, most : int
        The range of goods totals that will be asked for, in minor units.
    threads : ThreadParts, optional
        What is known of the thread of all charts.
    known : UpperBounds, optional
        Of other candidates: what is known of their charts is used if it is the same.
    time_limit : TimeLimit, optional
        It is looked at while bounds are computed, which is when they are first asked for.
    """

    def __init__(
        self,
        candidates: Candidates,
        least: int,
        most: int,
        threads: ThreadParts | None = None,
        *,
        known: UpperBounds | None = None,
        time_limit: TimeLimit | None = None,
    ) -> None:
        self.threads, self._known = threads, known
        self.candidates, self.least, self.most = candidates, least, most
        self._time_limit = time_limit or TimeLimit()
        kinds = len({extra.category for extra in candidates.extras})
        self._top = 100_00 * (sum(candidates.weights.values()) + kinds * share(candidates))
        # Scores are multiplied by a chart's colours, and so are whole numbers.
        self.colours = colours_of(candidates)

    @cached_property
    def _relaxed(self) -> Relaxation | None:
        """The charts relaxed; None where no bound is tried."""
        if len(self.colours) == 1 or self._top >= _MANY:
            return None
        most, known = min(self.most + 1, MOST_COST), self._known and self._known._relaxed
        again = known.keeping_others(self.candidates, most) if known else None
        return again or Relaxation(self.candidates, self.candidates.weights, most, self.threads)

    @cached_property
    def _dearest(self) -> list[tuple[int, Ints]]:
        """The greatest multiplier, and the best score of each chart at it."""
        relaxed = self._relaxed
        if relaxed is None:
            return []
        multiplier = _multipliers(self._top, self.least, self.most, relaxed)[-1]
        return [(multiplier, relaxed.most(SCORE_UNIT, multiplier))]

    @cached_property
    def _lines(self) -> list[tuple[int, Ints]]:
        """Multipliers, and the best score of each chart at each; computed when first asked for."""
        relaxed = self._relaxed
        if relaxed is None:
            return []
        lines = []
        for multiplier in _multipliers(self._top, self.least, self.most, relaxed)[:-1]:
            self._time_limit.check()
            lines.append((multiplier, relaxed.most(SCORE_UNIT, multiplier)))
        return [*lines, *self._dearest]

    def at(self, spendable: int) -> Ints:
        """Return the upper bounds of the first figure where goods cost no more than `spendable`.

        Returns
        -------
        array of int64
            One a chart, in 1024ths of the model's weighed points and times the chart's colours;
            below zero for a chart that no kit can hold. A chart alone gets no closer bound than
            any kit has.

        Raises
        ------
        OutOfTime
            If there is no time left.
        """
        if self._relaxed is None:
            return np.full(len(self.colours), SCORE_UNIT * self._top) * self.colours
        # Where money is dearest, charts are seen for which there is too little of it.
        least = _lowest(self._dearest, spendable)
        return least if (least < 0).all() else _lowest(self._lines, spendable)

    def multipliers(self, spendable: int) -> Ints:
        """Return for each chart the multiplier at which `at` comes closest."""
        if not self._lines:
            return np.maximum(1, SCORE_UNIT * self._top * self.colours // max(1, spendable))
        bounds = np.array([most + multiplier * spendable for multiplier, most in self._lines])
        multipliers: Ints = np.array([multiplier for multiplier, _ in self._lines])[
            bounds.argmin(axis=0)
        ]
        return np.maximum(1, multipliers)

    def cheapest_first(self) -> list[int]:
        """Return the charts that a kit may hold, by what a kit costs at least, about."""
        if not self._lines:
            return list(range(len(self.colours)))
        _, score = max(self._lines, key=lambda line: line[0])
        order = np.argsort(-(score / self.colours), kind="stable")
        return [number for number in order.tolist() if score[number] > NEVER]

    def figure(self, upper_bound: int, chart: int) -> Fraction:
        """Return the upper bound of a chart, by its number, in weighed points."""
        return Fraction(int(upper_bound), SCORE_UNIT * int(self.colours[chart]))


def _lowest(lines: list[tuple[int, Ints]], spendable: int) -> Ints:
    """Return for each chart the lowest bound at some multipliers; ``NEVER`` where one has none."""
    least = np.full(len(lines[0][1]), 2**62)
    for multiplier, most in lines:
        bound = np.where(most > NEVER, most + multiplier * spendable, NEVER)
        least = np.minimum(least, bound)
    return least


def goods_lower_bounds(candidates: Candidates) -> list[int | None]:
    """Return for each chart a goods total below which none of its kits comes.

    Returns
    -------
    list of int or None
        In the charts' order and in minor units; None for a chart that no kit can hold.
    """
    threads = ThreadParts(candidates)
    charts = colourable_charts(candidates, threads)
    if not charts:
        return [None] * len(candidates.charts)
    possible = replace(candidates, needs={**candidates.needs, "chart": tuple(charts)})
    most = Relaxation(possible, {}, MOST_COST, threads).most(0, 1)
    scores = {chart.sku: int(score) for chart, score in zip(charts, most, strict=True)}
    each = (scores.get(chart.sku, NEVER) for chart in candidates.charts)
    return [-score if score > NEVER else None for score in each]


def thread_lower_bounds(candidates: Candidates) -> list[int | None]:
    """Return for each chart what matched thread for it costs at least, at any effective count.

    Returns
    -------
    list of int or None
        In the charts' order and in minor units; None for a chart of which a colour has no thread.
    """
    if candidates.free or not candidates.matches_thread:
        return [0] * len(candidates.charts)
    scores = ThreadBounds(candidates, 0, MOST_COST).best(0, 1).tolist()
    return [-score if score > NEVER else None for score in scores]


def _multipliers(top: int, least: int, most: int, relaxed: Relaxation) -> list[int]:
    """Return multipliers from none at all to far dearer than points can be, evenly by factors.

    Those are left out at which the terms would leave 64 bits.
    """
    dearest = 64 * SCORE_UNIT * (top + 1) * int(relaxed.colours.max(initial=1)) // max(1, least) + 1
    multipliers = {0, *(int(dearest * 2 ** (-i / 2)) for i in range(_MULTIPLIERS))}
    return sorted(
        multiplier
        for multiplier in multipliers
        if multiplier * (most + 1) * relaxed.terms < -NEVER // 4
    )
