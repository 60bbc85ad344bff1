"""Which points of cost and worth no other point dominates."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[Any]  # int64, or Python's whole numbers where those would not do


def undominated(cost: Numbers, worth: Numbers, free: int, window: int) -> tuple[Numbers, Numbers]:
    """Leave out the points that others dominate; the rest are in rising order of cost.

    Parameters
    ----------
    cost, worth : array of int
        One entry a point, in any order.
    free : int
        Below this cost the best point of every cost is kept.
    window : int
        Points of equal worth are kept while they cost less than this more than the cheapest.
    """
    if len(cost) < 2:
        return cost, worth
    order = np.argsort(cost, kind="stable")
    cost, worth = cost[order], worth[order]
    if free and cost[0] < free:
        start = int(np.searchsorted(cost, free))
        low = _highest_at_each_cost(cost[:start], worth[:start])
        high = _rising(cost[start:], worth[start:], window)
        return np.concatenate([low[0], high[0]]), np.concatenate([low[1], high[1]])
    return _rising(cost, worth, window)


def _rising(cost: Numbers, worth: Numbers, window: int) -> tuple[Numbers, Numbers]:
    best = worth == np.maximum.accumulate(worth)
    cost, worth = cost[best], worth[best]
    dearest = np.ones(len(cost), dtype=bool)
    dearest[:-1] = cost[1:] != cost[:-1]
    cost, worth = cost[dearest], worth[dearest]
    if window == 1:
        cheaper = np.ones(len(cost), dtype=bool)
        cheaper[1:] = worth[1:] != worth[:-1]
        return cost[cheaper], worth[cheaper]
    cheapest = cost[np.searchsorted(worth, worth, side="left")]
    kept = cost - cheapest < window
    return cost[kept], worth[kept]


def _highest_at_each_cost(cost: Numbers, worth: Numbers) -> tuple[Numbers, Numbers]:
    starts = np.flatnonzero(np.append(True, cost[1:] != cost[:-1]))
    return cost[starts], np.maximum.reduceat(worth, starts)
