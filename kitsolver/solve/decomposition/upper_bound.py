"""What no kit with a chart can beat: a bound for every chart at once, without opening any.

Money is given a price: a choice counts its points less `rate` times its cost, and the whole sum to
spend counts `rate` times itself. For any rate, the best of each need by itself then adds up to no
less than any kit within the sum reaches (Lagrangian bound; Everett 1963, recalled from memory).
The least over a range of rates is the ceiling.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cached_property

import numpy as np

from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.objective import SCORE_UNIT
from kitsolver.solve.decomposition.relaxation import Relaxation, colours_of, share
from kitsolver.solve.decomposition.thread_bounds import NEVER, Ints

_RATES = 32
# More than any kit costs, and yet such that sums stay within 64 bits.
_DEAR = 2**40
# Weighed points beyond this, times a chart's colours, could leave 64 bits: no bound is tried.
_MANY = 2**36


class UpperBounds:
    """What the kits of each chart cannot go beyond, whatever may be spent.

    Parameters
    ----------
    candidates : Candidates
        With any number of charts.
    least, most : int
        The range of goods totals that will be asked for, in minor units.
    """

    def __init__(self, candidates: Candidates, least: int, most: int) -> None:
        self.candidates, self.least, self.most = candidates, least, most
        kinds = len({extra.category for extra in candidates.extras})
        self._top = 100_00 * (sum(candidates.weights.values()) + kinds * share(candidates))
        # What a chart counts is told times its colours, and so in whole numbers.
        self.colours = colours_of(candidates)

    @cached_property
    def _lines(self) -> list[tuple[int, Ints]]:
        """By rate what each chart counts at most, found when first asked for."""
        if len(self.colours) == 1 or self._top >= _MANY:
            return []
        relaxed = Relaxation(self.candidates, self.candidates.weights, min(self.most + 1, _DEAR))
        rates = _rates(self._top, self.least, self.most, relaxed)
        return [(rate, relaxed.most(SCORE_UNIT, rate)) for rate in rates]

    def at(self, spendable: int) -> Ints:
        """Return the ceilings of the first figure where goods cost no more than `spendable`.

        Returns
        -------
        array of int64
            One a chart, in 1024ths of the model's weighed points and times the chart's colours;
            below zero for a chart that no kit can hold. A chart alone gets no closer ceiling than
            any kit has.
        """
        if not self._lines:
            return np.full(len(self.colours), SCORE_UNIT * self._top) * self.colours
        least = np.full(len(self.colours), 2**62)
        for rate, most in self._lines:
            bound = np.where(most > NEVER, most + rate * spendable, NEVER)
            least = np.minimum(least, bound)
        return least

    def multipliers(self, spendable: int) -> Ints:
        """Return for each chart the multiplier at which `at` comes closest."""
        if not self._lines:
            return np.maximum(1, SCORE_UNIT * self._top * self.colours // max(1, spendable))
        bounds = np.array([most + rate * spendable for rate, most in self._lines])
        rates: Ints = np.array([rate for rate, _ in self._lines])[bounds.argmin(axis=0)]
        return np.maximum(1, rates)

    def figure(self, upper_bound: int, chart: int) -> Fraction:
        """Return the ceiling of a chart, by its number, in weighed points."""
        return Fraction(int(upper_bound), SCORE_UNIT * int(self.colours[chart]))


def goods_lower_bounds(candidates: Candidates) -> list[int | None]:
    """Return for each chart a goods total below which none of its kits comes.

    Returns
    -------
    list of int or None
        In the charts' order and in minor units; None for a chart that no kit can hold.
    """
    most = Relaxation(candidates, {}, _DEAR).most(0, 1)
    return [-int(worth) if worth > NEVER else None for worth in most]


def _rates(top: int, least: int, most: int, relaxed: Relaxation) -> list[int]:
    """Return rates from none at all to far dearer than points can be, evenly by factors.

    Those are left out at which the terms would leave 64 bits.
    """
    dearest = 64 * SCORE_UNIT * (top + 1) * int(relaxed.colours.max(initial=1)) // max(1, least) + 1
    rates = {0, *(int(dearest * 2 ** (-i / 2)) for i in range(_RATES))}
    return sorted(rate for rate in rates if rate * (most + 1) * relaxed.terms < -NEVER // 4)
