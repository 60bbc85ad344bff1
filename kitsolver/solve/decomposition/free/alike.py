"""Which thread colours are too alike to be taken together."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from kitsolver.shop.palette import Palette

# Differences of more colours than this are not remembered: some 1 MB for each of few palettes.
_FEW = 512
# More than any two colours differ by, in ten-thousandths of CIEDE2000.
_FAR = 2**31 - 1


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
        self._colours = tuple(sorted(set(colours)))
        self._number = {colour: n for n, colour in enumerate(self._colours)}

    def among(self, colours: Sequence[str]) -> NDArray[np.bool_]:
        """Return which of some of the colours are too alike: shape (n, n)."""
        numbers = [self._number[colour] for colour in colours]
        return self._table[np.ix_(numbers, numbers)]

    @cached_property
    def _table(self) -> NDArray[np.bool_]:
        """All pairs of the colours, in their order."""
        if not self.least:
            return np.zeros((len(self._colours), len(self._colours)), dtype=bool)
        few = len(self._colours) <= _FEW
        differences = _remembered(self._colours) if few else _Differences(self._colours)
        return differences.below(self.least)


class _Differences:
    """How much every two of some colours differ, as far as it was asked for.

    Explanations ask for the same colours at one contrast after the other.
    """

    def __init__(self, colours: tuple[str, ...]) -> None:
        self._colours = colours
        self._known = 0
        self._table = np.zeros((0, 0), dtype=np.int32)

    def below(self, least: int) -> NDArray[np.bool_]:
        """Return which pairs differ by less than so much."""
        if least > self._known:
            palette = Palette(self._colours)
            table = np.full((len(palette), len(palette)), _FAR, dtype=np.int32)
            near = palette.near_each(list(palette.number), least - 1)
            for row, (numbers, far) in zip(table, near, strict=True):
                row[numbers] = far
            self._known, self._table = least, table
        return self._table < least


@lru_cache(maxsize=1 << 5)
def _remembered(colours: tuple[str, ...]) -> _Differences:
    """Return the differences of some colours, measured before or not."""
    return _Differences(colours)
