"""Points and costs of many choices in one array, of which the best of each run counts."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]

# Below any score, and far from the end of 64 bits.
NEVER = -(2**60)


class Runs:
    """Points and costs in runs; a run is what one is chosen from.

    Parameters
    ----------
    run : array of int
        The run of each entry, rising.
    points, cost : array of int
        What each entry counts and costs.
    runs : int
        How many runs there are.
    """

    def __init__(self, run: Ints, points: Ints, cost: Ints, runs: int) -> None:
        self.points, self.cost = points, cost
        many = np.bincount(run, minlength=runs)
        self.starts, self.filled = np.cumsum(many) - many, many > 0

    def best(self, point: int, multiplier: int) -> Ints:
        """Return the best score of each run; ``NEVER`` where it is empty.

        Parameters
        ----------
        point : int
            What each point counts.
        multiplier : int
            What a minor unit of cost takes away.
        """
        each = np.full(len(self.starts), NEVER)
        if self.filled.any():
            score = point * self.points - multiplier * self.cost
            each[self.filled] = np.maximum.reduceat(score, self.starts[self.filled])
        return each
