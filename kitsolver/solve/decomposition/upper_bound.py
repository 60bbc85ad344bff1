"""An upper bound for every chart at once, without opening any.

Money is given a price, the multiplier. The score of a row is its weighed points less the multiplier
times its cost. At any multiplier, add up the best scores of all needs, and the multiplier times the
goods total that may be spent: no kit within that total has a higher first figure (a Lagrangian
relaxation; Everett 1963, recalled from memory). The least of these sums over a range of multipliers
is the upper bound.
"""

from __future__ import annotations

from collections.abc import Sequence
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
# One in so many multipliers is tried first.
_STRIDE = 4
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
        # By the place of a multiplier.
        self._scores: dict[int, Ints] = {}

    @cached_property
    def _relaxed(self) -> Relaxation | None:
        """The charts relaxed; None where no bound is tried."""
        if len(self.colours) == 1 or self._top >= _MANY:
            return None
        most, known = min(self.most + 1, MOST_COST), self._known and self._known._relaxed
        again = known.keeping_others(self.candidates, most, self.threads) if known else None
        return again or Relaxation(self.candidates, self.candidates.weights, most, self.threads)

    @cached_property
    def _multipliers(self) -> list[int]:
        """The multipliers that may be tried, from the least; none where no bound is tried."""
        relaxed = self._relaxed
        return [] if relaxed is None else _multipliers(self._top, self.least, self.most, relaxed)

    def _most(self, place: int) -> Ints:
        """Return the best score of each chart at a multiplier, by its place among all."""
        assert self._relaxed is not None
        if place not in self._scores:
            self._time_limit.check()
            self._scores[place] = self._relaxed.most(SCORE_UNIT, self._multipliers[place])
        return self._scores[place]

    def _around_lowest(self, spendable: int) -> list[int]:
        """Return the places of multipliers, among them that at which each chart is bound closest.

        A chart's bound is convex in the multiplier (but for what is rounded). So one in so many is
        tried first, and then those about the lowest bound of any chart.
        """
        last = len(self._multipliers) - 1
        coarse = [*range(0, last, _STRIDE), last]
        lowest = np.unique(self._bounds(coarse, spendable).argmin(axis=0)).tolist()
        close = {
            place
            for low in lowest
            for place in range(coarse[max(0, low - 1)], coarse[min(low + 1, len(coarse) - 1)] + 1)
        }
        return sorted(close.union(coarse))

    def _bounds(self, places: Sequence[int], spendable: int) -> Ints:
        """Return the bound of each chart at some multipliers, a row for each multiplier."""
        found = np.empty((len(places), len(self.colours)), dtype=np.int64)
        for row, place in zip(found, places, strict=True):
            most = self._most(place)
            row[:] = np.where(most > NEVER, most + self._multipliers[place] * spendable, NEVER)
        return found

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
        if not self._multipliers:
            return np.full(len(self.colours), SCORE_UNIT * self._top) * self.colours
        # Where money is dearest, charts are seen for which there is too little of it.
        dearest: Ints = self._bounds([len(self._multipliers) - 1], spendable)[0]
        if (dearest < 0).all():
            return dearest
        return np.asarray(self._bounds(self._around_lowest(spendable), spendable).min(axis=0))

    def multipliers(self, spendable: int) -> Ints:
        """Return for each chart the multiplier at which `at` comes closest."""
        if not self._multipliers:
            return np.maximum(1, SCORE_UNIT * self._top * self.colours // max(1, spendable))
        places = self._around_lowest(spendable)
        closest = self._bounds(places, spendable).argmin(axis=0)
        tried = np.array([self._multipliers[place] for place in places])
        return np.asarray(np.maximum(1, tried[closest]))

    def cheapest_first(self) -> list[int]:
        """Return the charts that a kit may hold, by what a kit costs at least, about."""
        if not self._multipliers:
            return list(range(len(self.colours)))
        score = self._most(len(self._multipliers) - 1)
        order = np.argsort(-(score / self.colours), kind="stable")
        return [number for number in order.tolist() if score[number] > NEVER]

    def figure(self, upper_bound: int, chart: int) -> Fraction:
        """Return the upper bound of a chart, by its number, in weighed points."""
        return Fraction(int(upper_bound), SCORE_UNIT * int(self.colours[chart]))


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
