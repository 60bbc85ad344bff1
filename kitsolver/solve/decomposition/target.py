"""What a search is out for: the first figure that kits must reach, by what may be spent."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from math import ceil
from typing import NamedTuple

from kitsolver.solve.decomposition.objective import SCORE_UNIT

# So far beyond the lower bound of a chart's goods its cheapest kit is sought, then anywhere.
_BEYOND = (1 / 128, 1 / 32, 1 / 8, 1 / 2, 2.0)


class Demand(NamedTuple):
    """Up to this goods total, kits must have this first figure, in weighed points."""

    goods: int
    first: Fraction


class Target:
    """What kits must reach to be of interest, at some goods totals that may be spent.

    A kit is of interest if at one of these totals it costs no more and reaches the first figure.

    Parameters
    ----------
    demands : iterable of Demand
        One for each goods total.
    """

    def __init__(self, demands: Iterable[Demand]) -> None:
        self.demands = tuple(demands)
        # What the demands are as scores, by what figures are multiplied by.
        self._scores: dict[int, list[tuple[int, int]]] = {}

    @property
    def limit(self) -> int:
        """The highest goods total."""
        return max(goods for goods, _ in self.demands)

    def floor(self, multiplier: int, times: int) -> int:
        """Return what kits of interest score at least, where figures are multiplied by `times`.

        A kit scores its first figure less the multiplier times its cost, which is no more than
        what may be spent.
        """
        if times not in self._scores:
            self._scores[times] = [
                (goods, ceil(SCORE_UNIT * times * first)) for goods, first in self.demands
            ]
        return min(score - multiplier * goods for goods, score in self._scores[times])


def at_goods(goods: int, first: Fraction = Fraction(0)) -> Target:
    """Return the target of one goods total."""
    return Target([Demand(goods, first)])


def limits_beyond(bound: int, most: int) -> Iterator[int]:
    """Yield goods totals to look for the cheapest kit within, one after the other.

    Little lies within the first of them, so that it is soon seen.

    Parameters
    ----------
    bound : int
        No kit comes to less, in minor units.
    most : int
        None of them is above this, and it is the last if they come to it.
    """
    for beyond in _BEYOND:
        near = min(most, bound + int(bound * beyond) + 1)
        yield near
        if near == most:
            return
