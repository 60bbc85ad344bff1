"""The colours of all charts at once, each with the places that it chooses from by itself.

Colours may share a place; what places count and cost is relaxed, too (`choices.py`). A kept row
colours a colour of the chart, and no colour takes two rows. So for each kept row a chart scores
less by what its colours lose with it, of these the colour that loses least.
"""

from __future__ import annotations

from collections.abc import Collection

import numpy as np
from numpy.typing import NDArray

from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.runs import NEVER, Ints, Runs
from kitsolver.solve.decomposition.thread.choices import ColourChoices, Places


class ThreadBounds:
    """The colours of every chart with their places.

    Parameters
    ----------
    weight : int
        What a hundredth of a point counts.
    most_cost : int
        What costs more is counted as this: no kit holds it, and the sums stay small.
    """

    def __init__(self, candidates: Candidates, weight: int, most_cost: int) -> None:
        shades = [chart.shades or () for chart in candidates.charts]
        self.charts = len(shades)
        self.owner = np.repeat(np.arange(self.charts), [len(charted) for charted in shades])
        every = [asked for charted in shades for asked in charted]
        self.choices = each = ColourChoices(candidates, every, self.owner, weight, most_cost)
        places, listed = each.places, each.home.listed
        kinds, self.kind = _distinct(np.column_stack([each.which, each.units]))
        # How much of them is bought, the exact length of each colour decides.
        apart = (each.many[places.row] > 1) | listed[places.row]
        dearest = int(each.price.max(initial=0)) + 1
        price = np.where(listed, dearest, each.price)
        singles = ~apart & _undominated(places, price, each.length_of)
        self.singles = each.runs(singles, kinds[:, 0], kinds[:, 1:], shared=False)
        self.others = each.runs(apart, each.which, each.units, shared=True)
        # By kept row the places in it.
        self._of_row: dict[str, Runs] = {}
        self._colours: dict[tuple[int, int], Ints] = {}
        self._best: dict[tuple[int, int], Ints] = {}

    def best(self, point: int, multiplier: int, kept: Collection[str] = ()) -> Ints:
        """Return what the colours of each chart score at most; ``NEVER`` where one has no place.

        Parameters
        ----------
        kept : collection of str
            Skus of rows of thread, each of which colours a colour of the chart.
        """
        key = point, multiplier
        if key not in self._best:
            each = self.singles.best(point, multiplier)[self.kind]
            each = np.maximum(each, self.others.best(point, multiplier))
            without = np.bincount(self.owner, each <= NEVER, self.charts) > 0
            sums = np.zeros(self.charts, dtype=np.int64)
            np.add.at(sums, self.owner, np.where(each > NEVER, each, 0))
            self._colours[key], self._best[key] = each, np.where(without, NEVER, sums)
        best = self._best[key]
        for sku in sorted(kept):
            lost = self._least_lost(sku, point, multiplier)
            best = np.where((best > NEVER) & (lost < -NEVER), best - lost, NEVER)
        return best

    def _least_lost(self, sku: str, point: int, multiplier: int) -> Ints:
        """Return what each chart loses at least by a row; ``-NEVER`` where it cannot hold it."""
        choices = self.choices
        if sku not in self._of_row:
            mine = choices.places.row == choices.number[sku]
            shared = bool(choices.many[choices.number[sku]] > 1)
            self._of_row[sku] = choices.runs(mine, choices.which, choices.units, shared=shared)
        with_row = self._of_row[sku].best(point, multiplier)
        lost = np.where(with_row > NEVER, self._colours[point, multiplier] - with_row, -NEVER)
        least = np.full(self.charts, -NEVER)
        np.minimum.at(least, self.owner, lost)
        return least


def _undominated(places: Places, price: Ints, length_of: Ints) -> NDArray[np.bool_]:
    """Return which places count more than all cheaper ones of their colour that hold as much."""
    cost, length = price[places.row], length_of[places.row]
    order = np.lexsort((cost, -places.points, length, places.colour))
    group = places.colour[order] * (int(length.max(initial=0)) + 1) + length[order]
    first = np.append(True, group[1:] != group[:-1])[: len(group)]
    # The least cost so far in each group: a later group starts below all earlier ones.
    step = int(cost.max(initial=0)) + 1
    falling = cost[order] - np.cumsum(first) * step
    least = np.minimum.accumulate(falling)
    cheaper = np.append(True, falling[1:] < least[:-1])[: len(falling)]
    kept = np.zeros(len(order), dtype=bool)
    kept[order] = cheaper | first
    return kept


def _distinct(rows: Ints) -> tuple[Ints, Ints]:
    """Return the distinct rows, and for each row the number of its own."""
    code = np.zeros(len(rows), dtype=np.int64)
    for column in rows.T:
        _, narrow = np.unique(column, return_inverse=True)
        _, code = np.unique(code * (int(narrow.max(initial=0)) + 1) + narrow, return_inverse=True)
    _, first = np.unique(code, return_index=True)
    return rows[first], code
