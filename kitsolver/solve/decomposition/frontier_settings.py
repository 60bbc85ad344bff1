"""What all frontiers of a chart have in common, and which of their breakpoints are wanted.

`Bounds` say up to which cost breakpoints are wanted, and which score they must reach: their first
figure less a multiplier times their cost.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from kitsolver.solve.decomposition.objective import SCORE_UNIT
from kitsolver.solve.decomposition.pareto import Numbers
from kitsolver.solve.time_limit import TimeLimit


class FrontierSettings(NamedTuple):
    """What all frontiers of a chart have in common.

    Parameters
    ----------
    free : int
        Below this goods total dearer may be better, for then delivery is free: up to it the best
        breakpoint for every cost is kept. 0 where dearer is never better.
    window : int
        Breakpoints of equal worth are kept while they cost less than this more than the cheapest:
        what is paid may be the same. 1 if every minor unit counts.
    base : int
        What a worth is divided by to get its first figure.
    large : bool
        Whether worths or scores may leave 64 bits.
    time_limit : TimeLimit
        Sums are taken only while it runs.
    ties : bool
        Whether all kits of equal figures are wanted, for the tie-break; else one of them will do.
    """

    free: int
    window: int
    base: int
    large: bool
    time_limit: TimeLimit
    ties: bool = True

    def array(self, numbers: Iterable[int]) -> Numbers:
        """Return worths as an array."""
        return np.array(list(numbers), dtype=object if self.large else np.int64)


class Bounds(NamedTuple):
    """Which breakpoints are wanted; none at all is left out where `floor` is None.

    Parameters
    ----------
    limit : int
        The highest cost.
    floor : int or None
        The lowest score.
    multiplier : int
        What a minor unit of cost takes from the score.
    """

    limit: int
    floor: int | None = None
    multiplier: int = 0

    def beside(self, cost: int, score: int) -> Bounds:
        """Return what is wanted of a part, where the others cost and score no better than this."""
        floor = None if self.floor is None else self.floor - score
        return Bounds(self.limit - cost, floor, self.multiplier)

    def hold(self, cost: Numbers, worth: Numbers, base: int) -> NDArray[np.bool_]:
        """Return which breakpoints are wanted."""
        wanted: NDArray[np.bool_] = cost <= self.limit
        if self.floor is not None:
            score = SCORE_UNIT * (worth // base) - self.multiplier * cost
            wanted = wanted & np.asarray(score >= self.floor, dtype=np.bool_)
        return wanted
