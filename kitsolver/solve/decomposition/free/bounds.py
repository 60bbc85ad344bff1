"""The thread of all charts at once where colours are free: what it scores at most."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress

import numpy as np

from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.free.packs import FreePacks, Point
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.runs import NEVER, Ints
from kitsolver.solve.time_limit import TimeLimit


class FreeThreadBounds:
    """The colours of every chart, each taking as few units as any of its chart at any count.

    Parameters
    ----------
    points : sequence of sequence of (int, int)
        Of each chart what its thread costs and counts at best.
    weight : int
        What a hundredth of a point counts.
    most_cost : int
        What costs more is counted as this.
    """

    def __init__(self, points: Sequence[Sequence[Point]], weight: int, most_cost: int) -> None:
        self.filled = np.array([len(each) > 0 for each in points], dtype=bool)
        ends = np.cumsum([len(each) for each in points])
        self.starts = np.append(0, ends[:-1])[self.filled]
        every = [point for each in points for point in each]
        self.cost = np.array([min(cost, most_cost) for cost, _ in every], dtype=np.int64)
        self.points = np.array([weight * counted for _, counted in every], dtype=np.int64)

    def best(self, point: int, multiplier: int) -> Ints:
        """Return what the colours of each chart score at most; ``NEVER`` where one has no place."""
        whole = np.full(len(self.filled), NEVER)
        if self.filled.any():
            score = point * self.points - multiplier * self.cost
            whole[self.filled] = np.maximum.reduceat(score, self.starts)
        return whole


def free_thread_bounds(
    candidates: Candidates, packs: FreePacks, weight: int, most_cost: int
) -> FreeThreadBounds | None:
    """Return the bounds; None if single threads alone have too many best ways.

    Parameters
    ----------
    candidates : Candidates
        With free colours that keep their order.
    packs : FreePacks
        Of the same candidates.
    """
    counts = {fabric.count for fabric in candidates.fabrics}
    found: list[list[Point]] = []
    with suppress(StateLimitReached):
        for chart in candidates.charts:
            shades = chart.shades or ()
            if not shades or not counts:
                found.append([(0, 0)] if counts else [])
                continue
            taking = [packs.colours.taking(asked, count) for asked in shades for count in counts]
            alike = packs.colours.as_few_units(taking, len(shades))
            sets = packs.sets(alike, frozenset(), TimeLimit())
            if sets is None:
                return None
            found.append(list(sets.best(len(shades))))
        return FreeThreadBounds(found, weight, most_cost)
    return None
