"""What rows count where a brief weighs columns of the shop's beside, or instead of, quality."""

from __future__ import annotations

from fractions import Fraction
from math import floor

import numpy as np
from numpy.typing import NDArray

from kitsolver.brief.meeting import Shelf
from kitsolver.brief.needs import Need
from kitsolver.shop.distinct import distinct


def scored(shelf: Shelf, need: Need) -> NDArray[np.int64]:
    """Return what each row of a shelf counts for a need, in hundredths, rounded half up.

    Parameters
    ----------
    shelf : Shelf
        Rows of one category.
    need : Need
        With the columns that are weighed.
    """
    parts = sum(map(Fraction, need.score.values()))
    total = [Fraction(0)] * len(shelf)
    for column, weight in need.score.items():
        low, high = map(Fraction, need.range.get(column, (0, 100)))
        codes, cells = distinct(shelf.cells(column))
        shares = [_share(str(cell), low, high) * Fraction(weight) for cell in cells]
        total = [sum_ + shares[code] for sum_, code in zip(total, codes.tolist(), strict=True)]
    points = (floor(sum_ / parts * 100_00 + Fraction(1, 2)) for sum_ in total)
    return np.fromiter(points, dtype=np.int64, count=len(shelf))


def _share(cell: str, low: Fraction, high: Fraction) -> Fraction:
    """Return how far a number lies on the way from low to high; a blank cell is at the start."""
    if not cell:
        return Fraction(0)
    return min(max((Fraction(cell) - low) / (high - low), Fraction(0)), Fraction(1))
