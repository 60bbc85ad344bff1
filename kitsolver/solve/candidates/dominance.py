"""Leaves out rows that can be in no best kit, because another does all they do for no more.

Another row does all that a row does if it goes wherever that row goes, costs no more and counts
no less; and it is to be preferred if it counts more, costs less, or comes first where kits tie.
Then any kit with the one row is beaten by the same kit with the other.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from kitsolver.brief.brief import Brief

Mask = NDArray[np.bool_]
Ints = NDArray[np.int64]
# Columns by name, one entry a row.
Table = dict[str, NDArray[Any]]

_LARGE = 2.0**62


def worth_entering(category: str, table: Table, brief: Brief, *, tied: bool, counted: bool) -> Mask:
    """Return which rows of a category some best kit may hold.

    Parameters
    ----------
    table : dict of str to array
        Rows of one category, sorted by sku, with the units and prices of this brief.
    tied : bool
        Whether what a row measures decides what it goes with; a fabric that is an extra goes with
        everything.
    counted : bool
        Whether quality counts for anything.
    """
    units, price = table["units"], table["price"]
    if float(units.max(initial=0)) * float(price.max(initial=0)) >= _LARGE:
        return np.ones(len(price), dtype=bool)
    cost = price * units
    points = table["quality"] if counted else np.zeros_like(cost)
    kind, goes = _measures(category, table, brief) if tied else _nothing(table)
    kind, goes = _taxed_alike(table, kind, goes)
    # Where dearer goods may bring free delivery, only what costs the same can be compared.
    # Nor where the discounts of rows that are taxed apart are rounded apart.
    apart = brief.register.window > 1 and bool((table["tax_rate"] >= 0).any())
    alike = [cost, kind] if brief.register.has_gap or apart else [kind]
    order = np.lexsort(alike)
    starts = np.any([np.diff(measure[order]) != 0 for measure in alike], axis=0)
    unbeaten = among(table["sku"], brief.choose.keep)
    for rows in np.split(order, np.flatnonzero(starts) + 1):
        unbeaten[rows] |= len(rows) == 1 or _unbeaten(cost[rows], points[rows], goes[rows], brief)
    return unbeaten


def among(skus: NDArray[Any], some: Collection[str]) -> Mask:
    """Return which skus are among some."""
    if not some:
        return np.zeros(len(skus), dtype=bool)
    known = frozenset(some)
    return np.fromiter((sku in known for sku in skus), dtype=bool, count=len(skus))


def _measures(category: str, table: Table, brief: Brief) -> tuple[Ints, Ints]:
    """Return which rows are of a kind, and of what more goes with more, a column a measure."""
    kind, goes = _nothing(table)
    match category:
        case "fabric":
            # Not what it is woven like, but over how many threads a stitch goes.
            kind = 2 * table["count"] + (table["weave"] == "aida")
            if brief.shades.off_cloth:
                colour, colours = pd.factorize(table["colours"])
                kind = kind * len(colours) + colour
            goes = np.sort(np.column_stack([table["width"], table["height"]]), axis=1)
            rolls = table["sold_by"] == 1
            if rolls.any():
                cuts = [kind, rolls, rolls * table["step_cm"], rolls * table["smallest_cm"]]
                _, kind = np.unique(np.column_stack(cuts), axis=0, return_inverse=True)
                kind = kind.ravel()
            if brief.kits > 1 or rolls.any():
                goes = np.column_stack([goes, table["stock"]])
        case "needle":
            kind, _ = pd.factorize(table["needle_sizes"])
        case "hoop":
            goes = -table["diameter"].reshape(-1, 1)
    return kind, goes


def _taxed_alike(table: Table, kind: Ints, goes: Ints) -> tuple[Ints, Ints]:
    """Return the same where tax, delivery, what the shop pays and openings count, too."""
    alike = 2 * (table["tax_rate"] + 1) + table["download"]
    if alike.any():
        _, kind = np.unique(np.column_stack([kind, alike]), axis=0, return_inverse=True)
    if table["trade_cost"].any():
        goes = np.column_stack([goes, -table["trade_cost"]])
    if (openings := table["opening_cm"] + table["opening_in"]).any():
        # What frames nothing goes with every design.
        sides = [sorted(map(int, o.split(";"))) if o else [2**62] * 2 for o in openings]
        goes = np.column_stack([goes, np.array(sides, dtype=np.int64)])
    return kind.ravel(), goes


def _nothing(table: Table) -> tuple[Ints, Ints]:
    rows = len(table["sku"])
    return np.zeros(rows, dtype=np.int64), np.empty((rows, 0), dtype=np.int64)


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
