"""Leaves out rows that can be in no best kit, because another row does the same for no more.

A row dominates another if it goes wherever that row goes, costs no more and counts no less, and is
to be preferred: it counts more, costs less, or comes first in the tie-break. Then every kit with
the dominated row is beaten by the same kit with the other. What "wherever that row goes" means
for each rule stands in that rule's file (`Rule.dominance`).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from kitsolver.solve.rules import RULES
from kitsolver.solve.rules.rule import Ints, Mask, Rows, among

# Sums of money below this stay within 64 bits.
_LARGE = 2.0**62
# Up to so many rows a table of which dominates which is the fastest way.
_FEW = 100


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
    measures = _Measures(cost, points, at_least, exact=till.window == 1)
    if len(rows) <= _FEW:
        every = np.arange(len(rows))
        dominates = measures.dominates(every[:, None], every)
        for column in equal:
            dominates &= column[:, None] == column
        return kept | ~dominates.any(axis=0)
    for group in _groups(equal, len(rows)):
        kept[group] |= len(group) == 1 or _undominated(group, measures)
    return kept


class _Measures:
    """What rows are compared by, beside the columns in which they have to be equal.

    Parameters
    ----------
    cost, points : array of int
        One entry a row, rows in the order of the tie-break.
    at_least : sequence of array of int
        Columns in which a row that dominates another has no less.
    exact : bool
        Whether a lower cost means that less is paid.
    """

    def __init__(self, cost: Ints, points: Ints, at_least: Sequence[Ints], *, exact: bool) -> None:
        self.cost, self.points = cost, points
        self.at_least, self.exact = at_least, exact

    def dominates(self, first: Ints, other: Ints) -> Mask:
        """Tell which rows dominate which others, both by number and broadcast to one shape."""
        cost, points = self.cost, self.points
        preferred = (points[first] > points[other]) | (first < other)
        if self.exact:
            preferred |= cost[first] < cost[other]
        as_good = (cost[first] <= cost[other]) & (points[first] >= points[other])
        for column in self.at_least:
            as_good &= column[first] >= column[other]
        return np.asarray(as_good & preferred, dtype=np.bool_)


def _groups(columns: list[Ints], rows: int) -> list[Ints]:
    """Return the numbers of rows that are equal in every column, in rising order in each group."""
    code, codes = np.zeros(rows, dtype=np.int64), 1
    for column in columns:
        values, many = _numbered(column)
        if codes * many >= _LARGE:
            code, codes = _distinct(code)
            values, many = _distinct(column)
        code, codes = code * many + values, codes * many
    order = np.argsort(code, kind="stable")
    return np.split(order, np.flatnonzero(np.diff(code[order])) + 1)


def _numbered(column: Ints) -> tuple[Ints, int]:
    """Return a column's values as numbers from 0, and a number above all of these."""
    if column.dtype.kind != "i":
        return _distinct(column)
    least = int(column.min(initial=0))
    return column - least, int(column.max(initial=0)) - least + 1


def _distinct(column: Ints) -> tuple[Ints, int]:
    """Return the place of each value among the distinct ones, and how many these are."""
    _, values = np.unique(column, return_inverse=True)
    return values, int(values.max(initial=0)) + 1


def _undominated(group: Ints, measures: _Measures) -> Mask:
    """Return which rows of a group no other dominates."""
    cost, points = measures.cost[group], measures.points[group]
    left = np.lexsort((-points, cost))
    undominated_rows = np.zeros(len(group), dtype=bool)
    while len(left):
        first, left = left[0], left[1:]
        undominated_rows[first] = True
        left = left[~measures.dominates(group[first], group[left])]
    return undominated_rows
