"""Leaves out rows that can be in no best kit, because another row does the same for no more.

A row dominates another if it goes wherever that row goes, costs no more and counts no less, and is
to be preferred: it counts more, costs less, or comes first in the tie-break. Then every kit with
the dominated row is beaten by the same kit with the other. What "wherever that row goes" means
for each rule stands in that rule's file (`Rule.dominance`).
"""

from __future__ import annotations

import numpy as np
import pandas as pd

from kitsolver.brief.brief import Brief
from kitsolver.solve.rules import RULES
from kitsolver.solve.rules.rule import Ints, Mask, Rows, among

# Sums of money below this stay within 64 bits.
_LARGE = 2.0**62


def undominated(rows: Rows, *, counted: bool) -> Mask:
    """Return which rows some best kit may hold.

    Parameters
    ----------
    rows : Rows
        Admitted rows of one category, sorted by sku, prices in minor units.
    counted : bool
        Whether quality counts for anything.

    Returns
    -------
    array of bool, shape (rows,)
    """
    table, till = rows.table, rows.brief.exact_till
    units, price = table["units"], table["price"]
    if float(units.max(initial=0)) * float(price.max(initial=0)) >= _LARGE:
        return np.ones(len(rows), dtype=bool)
    cost = price * np.maximum(0, units - table["at_home"])
    points = table["quality"] if counted else np.zeros_like(cost)
    asked = [rule.dominance(rows) for rule in RULES]
    equal = [column for one in asked for column in one.equal]
    at_least = [column for one in asked for column in one.at_least]
    # Where dearer goods may bring free delivery, only rows of one cost can be compared; and so it
    # is where the discounts of rows with rates of their own are rounded by themselves.
    by_rate = till.window > 1 and bool((table["tax_rate"] >= 0).any())
    if till.has_gap or by_rate:
        equal.append(cost)
    kept = among(table["sku"], rows.brief.choose.keep)
    measures = np.column_stack(at_least) if at_least else np.empty((len(rows), 0), dtype=np.int64)
    for group in _groups(equal, len(rows)):
        kept[group] |= len(group) == 1 or _undominated(
            cost[group], points[group], measures[group], rows.brief
        )
    return kept


def _groups(columns: list[Ints], rows: int) -> list[Ints]:
    """Return the numbers of rows that are equal in every column, in rising order in each group."""
    code = np.zeros(rows, dtype=np.int64)
    for column in columns:
        values, _ = pd.factorize(column)
        code, _ = pd.factorize(code * (int(values.max(initial=0)) + 1) + values)
    order = np.argsort(code, kind="stable")
    return np.split(order, np.flatnonzero(np.diff(code[order])) + 1)


def _undominated(cost: Ints, points: Ints, measures: Ints, brief: Brief) -> Mask:
    """Return which rows no other dominates; rows are in the order of the tie-break."""
    left = np.lexsort((-points, cost))
    undominated_rows = np.zeros(len(cost), dtype=bool)
    while len(left):
        first, left = left[0], left[1:]
        undominated_rows[first] = True
        as_good = (points[first] >= points[left]) & (measures[first] >= measures[left]).all(axis=1)
        preferred = (points[first] > points[left]) | (first < left)
        if brief.exact_till.window == 1:
            preferred |= cost[first] < cost[left]
        left = left[~(as_good & preferred)]
    return undominated_rows
