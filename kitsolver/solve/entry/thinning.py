"""Leaves out rows that can be in no best kit, because another does all they do for no more.

Another row does all that a row does if it goes wherever that row goes, costs no more and counts
no less; and it is to be preferred if it counts more, costs less, or comes first where kits tie.
Then any kit with the one row is beaten by the same kit with the other.
"""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from kitsolver.brief.asked import Brief

Mask = NDArray[np.bool_]
Ints = NDArray[np.int64]

_LARGE = 2.0**62


def worth_entering(
    category: str, table: pd.DataFrame, brief: Brief, *, tied: bool, counted: bool
) -> Mask:
    """Return which rows of a category some best kit may hold.

    Parameters
    ----------
    table : pandas.DataFrame
        Rows of one category, sorted by sku, with the units and prices of this brief.
    tied : bool
        Whether what a row measures decides what it goes with; a fabric that is an extra goes with
        everything.
    counted : bool
        Whether quality counts for anything.
    """
    units, price = table["units"].to_numpy(), table["price"].to_numpy()
    if float(units.max(initial=0)) * float(price.max(initial=0)) >= _LARGE:
        return np.ones(len(table), dtype=bool)
    cost = price * units
    points = table["quality"].to_numpy() if counted else np.zeros_like(cost)
    kind, goes = _measures(category, table, brief) if tied else _nothing(table)
    # Where dearer goods may bring free delivery, only what costs the same can be compared.
    alike = np.column_stack([kind, cost]) if brief.register.has_gap else kind.reshape(-1, 1)
    kept = table["sku"].isin(brief.choose.keep).to_numpy(copy=True)
    _, group = np.unique(alike, axis=0, return_inverse=True)
    order, ends = np.argsort(group, kind="stable"), np.cumsum(np.bincount(group))
    for rows in np.split(order, ends[:-1]):
        kept[rows] |= _unbeaten(cost[rows], points[rows], goes[rows], brief)
    return kept


def _measures(category: str, table: pd.DataFrame, brief: Brief) -> tuple[Ints, Ints]:
    """Return which rows are of a kind, and of what more goes with more, a column a measure."""
    kind, goes = _nothing(table)
    match category:
        case "fabric":
            # Not what it is woven like, but over how many threads a stitch goes.
            kind = 2 * table["count"].to_numpy() + table["weave"].eq("aida").to_numpy()
            goes = np.sort(table[["width", "height"]].to_numpy(), axis=1)
            if brief.heads > 1:
                goes = np.column_stack([goes, table["stock"].to_numpy()])
        case "needle":
            kind, _ = pd.factorize(table["needle_sizes"])
        case "hoop":
            goes = -table[["diameter"]].to_numpy()
    return kind, goes


def _nothing(table: pd.DataFrame) -> tuple[Ints, Ints]:
    return np.zeros(len(table), dtype=np.int64), np.empty((len(table), 0), dtype=np.int64)


def _unbeaten(cost: Ints, points: Ints, goes: Ints, brief: Brief) -> Mask:
    """Return which rows no other beats; rows are in the order that tells ties apart."""
    left = np.lexsort((-points, cost))
    unbeaten = np.zeros(len(cost), dtype=bool)
    while len(left):
        first, left = left[0], left[1:]
        unbeaten[first] = True
        as_good = (points[first] >= points[left]) & (goes[first] >= goes[left]).all(axis=1)
        preferred = (points[first] > points[left]) | (first < left)
        if brief.register.window == 1:
            preferred |= cost[first] < cost[left]
        left = left[~(as_good & preferred)]
    return unbeaten
