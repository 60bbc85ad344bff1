"""The colours of all thread on sale, and those of them that are close to a given colour."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from kitsolver.craft.colour import (
    DIFFERENCE_UNIT,
    Floats,
    Ints,
    ciede2000,
    in_units,
    lab,
    least_difference,
    lightness_reach,
)

# The most pairs that are remembered, some 64 MB: charts ask for the same colours again.
_MOST_PAIRS = 1 << 22
# About so many pairs are measured at a time, to bound the memory that they take.
_BLOCK = 1 << 15


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
        ((close, far),) = self.near_each([colour], tolerance)
        return close, far

    def near_each(self, colours: Sequence[str], tolerance: int) -> list[tuple[Ints, Ints]]:
        """Return for each of some colours what `near` returns, many at a time."""
        found = {c: self._near[c, tolerance] for c in colours if (c, tolerance) in self._near}
        new = [colour for colour in dict.fromkeys(colours) if colour not in found]
        for colour, near in zip(new, self._measured(new, tolerance) if new else (), strict=True):
            found[colour] = near
            if len(near[0]) <= self._room:
                self._room -= len(near[0])
                self._near[colour, tolerance] = near
        return [found[colour] for colour in colours]

    def _measured(self, colours: Sequence[str], tolerance: int) -> Iterator[tuple[Ints, Ints]]:
        """Yield for each colour what is near it, measured block by block."""
        seen = lab(colours)
        light = seen[:, 0]
        # Most colours differ too much in lightness alone; one unit allows for rounded differences.
        reach = lightness_reach(light, (tolerance + 1) / DIFFERENCE_UNIT)
        first = np.searchsorted(self._lightness, light - reach)
        many = np.searchsorted(self._lightness, light + reach) - first
        blocks = np.flatnonzero(np.diff(np.cumsum(many) // _BLOCK)) + 1
        for block in np.split(np.arange(len(colours)), blocks):
            yield from self._near_block(seen[block], first[block], many[block], tolerance)

    def _near_block(
        self, seen: Floats, first: Ints, many: Ints, tolerance: int
    ) -> Iterator[tuple[Ints, Ints]]:
        """Yield for each colour what is near it among a run of the palette by lightness."""
        owner = np.repeat(np.arange(len(seen)), many)
        runs = np.arange(len(owner)) - np.repeat(np.cumsum(many) - many, many)
        number = self._order[np.repeat(first, many) + runs]
        # One unit for the rounding of differences, as above.
        least = least_difference(seen[owner], self._lab[number])
        possible = least * DIFFERENCE_UNIT <= tolerance + 1
        owner, number = owner[possible], number[possible]
        far = in_units(ciede2000(seen[owner], self._lab[number]))
        close = far <= tolerance
        owner, number, far = owner[close], number[close], far[close]
        order = np.lexsort((number, owner))
        ends = np.cumsum(np.bincount(owner, minlength=len(seen)))[:-1]
        yield from zip(np.split(number[order], ends), np.split(far[order], ends), strict=True)

    def nearest(self, colour: str) -> int:
        """Return the least difference from a colour, in ten-thousandths of CIEDE2000.

        The palette must have a colour.
        """
        tolerance = DIFFERENCE_UNIT
        while not len((found := self.near(colour, tolerance))[1]):
            tolerance *= 4
        return int(found[1].min())
