"""Which thread colours are too alike to be taken together."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from kitsolver.shop.palette import Palette


class AlikeColours:
    """Which two of some colours differ by less than they must; found out once.

    Parameters
    ----------
    colours : iterable of str
        As ``#rrggbb``, in any order.
    least : int
        How much they must differ, in ten-thousandths of CIEDE2000.
    """

    def __init__(self, colours: Iterable[str], least: int) -> None:
        self.least = least
        self._palette = Palette(colours)

    def among(self, colours: Sequence[str]) -> NDArray[np.bool_]:
        """Return which of some of the colours are too alike: shape (n, n)."""
        numbers = [self._palette.number[colour] for colour in colours]
        return self._table[np.ix_(numbers, numbers)]

    @cached_property
    def _table(self) -> NDArray[np.bool_]:
        """All pairs, as the palette numbers its colours."""
        table = np.zeros((len(self._palette), len(self._palette)), dtype=bool)
        if self.least:
            near = self._palette.near_each(list(self._palette.number), self.least - 1)
            for row, (numbers, _) in zip(table, near, strict=True):
                row[numbers] = True
        return table
