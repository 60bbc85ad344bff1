"""The colours of all thread on sale, and those of them that are close to a given colour."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from kitsolver.craft.colour import DIFFERENCE_UNIT, Ints, ciede2000, in_units, lab, lightness_reach

# The most pairs that are remembered, some 64 MB: charts ask for the same colours again.
_MOST_PAIRS = 1 << 22


class Palette:
    """Distinct colours. What was found close to a colour is remembered.

    Parameters
    ----------
    colours : iterable of str
        As ``#rrggbb``, in any order.
    """

    def __init__(self, colours: Iterable[str]) -> None:
        self.number = {colour: n for n, colour in enumerate(sorted(set(colours)))}
        self._lab = lab(list(self.number))
        self._order = np.argsort(self._lab[:, 0], kind="stable")
        self._lightness = self._lab[self._order, 0]
        self._near: dict[tuple[str, int], tuple[Ints, Ints]] = {}
        self._room = _MOST_PAIRS

    def __len__(self) -> int:
        return len(self.number)

    def near(self, colour: str, tolerance: int) -> tuple[Ints, Ints]:
        """Return the numbers of the colours within a tolerance, rising, and their differences.

        Parameters
        ----------
        colour : str
            As ``#rrggbb``.
        tolerance : int
            In ten-thousandths of CIEDE2000, as the differences are.
        """
        key = colour, tolerance
        if key in self._near:
            return self._near[key]
        (seen,) = lab([colour])
        # Lightness alone bars most colours; one unit is added for the rounding of differences.
        reach = lightness_reach(float(seen[0]), (tolerance + 1) / DIFFERENCE_UNIT)
        first, last = np.searchsorted(self._lightness, [seen[0] - reach, seen[0] + reach])
        some: NDArray[np.int64] = np.sort(self._order[first:last])
        far = in_units(ciede2000(seen, self._lab[some]))
        close = far <= tolerance
        found = some[close], far[close]
        if len(found[0]) <= self._room:
            self._room -= len(found[0])
            self._near[key] = found
        return found

    def nearest(self, colour: str) -> int:
        """Return the least difference from a colour, in ten-thousandths of CIEDE2000.

        The palette must have a colour.
        """
        tolerance = DIFFERENCE_UNIT
        while not len((found := self.near(colour, tolerance))[1]):
            tolerance *= 4
        return int(found[1].min())
