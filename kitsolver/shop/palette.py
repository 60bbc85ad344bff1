"""The colours of all thread on sale, and those of them that are close to a given colour."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from kitsolver.craft.colour import (
    DIFFERENCE_UNIT,
    Floats,
    Ints,
    LabParts,
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
# Runs of the palette that are longer on average are looked at one by one, which saves copies.
_LONG = 512


class Palette:
    """Distinct colours. What was found close to a colour is remembered.

    Parameters
    ----------
    colours : iterable of str
        As ``#rrggbb``, in any order.
    """

    def __init__(self, colours: Iterable[str]) -> None:
        self.number = {colour: n for n, colour in enumerate(sorted(set(colours)))}
        colours_lab = lab(list(self.number))
        self._order = np.argsort(colours_lab[:, 0], kind="stable")
        # From dark to light.
        self._lab = colours_lab[self._order]
        self._parts = LabParts.of(self._lab)
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
        first = np.searchsorted(self._parts.light, light - reach)
        many = np.searchsorted(self._parts.light, light + reach) - first
        blocks = np.flatnonzero(np.diff(np.cumsum(many) // _BLOCK)) + 1
        for block in np.split(np.arange(len(colours)), blocks):
            yield from self._near_block(seen[block], first[block], many[block], tolerance)

    def _near_block(
        self, seen: Floats, first: Ints, many: Ints, tolerance: int
    ) -> Iterator[tuple[Ints, Ints]]:
        """Yield for each colour what is near it among a run of the palette by lightness."""
        owner, place = self._possible(LabParts.of(seen), first, many, tolerance)
        number = self._order[place]
        far = in_units(ciede2000(seen[owner], self._lab[place]))
        close = far <= tolerance
        owner, number, far = owner[close], number[close], far[close]
        order = np.lexsort((number, owner))
        ends = np.cumsum(np.bincount(owner, minlength=len(seen)))[:-1]
        yield from zip(np.split(number[order], ends), np.split(far[order], ends), strict=True)

    def _possible(
        self, seen: LabParts, first: Ints, many: Ints, tolerance: int
    ) -> tuple[Ints, Ints]:
        """Return pairs of a colour and a place among the palette that may be within a tolerance."""
        # One unit for the rounding of differences.
        most = (tolerance + 1) / DIFFERENCE_UNIT
        if many.mean() > _LONG:
            places = []
            for one, (begin, length) in enumerate(zip(first.tolist(), many.tolist(), strict=True)):
                least = least_difference(seen.at(one), self._parts.at(slice(begin, begin + length)))
                places.append(begin + np.flatnonzero(least <= most))
            return np.repeat(np.arange(len(many)), list(map(len, places))), np.concatenate(places)
        owner = np.repeat(np.arange(len(many)), many)
        place = np.arange(len(owner)) + np.repeat(first - (np.cumsum(many) - many), many)
        possible = least_difference(seen.at(owner), self._parts.at(place)) <= most
        return owner[possible], place[possible]


class RowColours:
    """The colours of each row of thread.

    Parameters
    ----------
    cells : iterable of str
        As a catalogue holds them: ``#rrggbb;#rrggbb``.

    Attributes
    ----------
    palette : Palette
        All of the colours.
    numbers, rows : array of int
        The number of each colour of each row in the palette, row by row, and the place of its row.
    """

    def __init__(self, cells: Iterable[str]) -> None:
        each = [cell.split(";") for cell in cells]
        self.palette = Palette(colour for colours in each for colour in colours)
        number = self.palette.number
        listed = [number[colour] for colours in each for colour in colours]
        self.numbers: Ints = np.array(listed, dtype=np.int64)
        self.rows: Ints = np.repeat(np.arange(len(each)), list(map(len, each)))
        self._many = len(each)

    def having(self, numbers: Ints) -> NDArray[np.bool_]:
        """Return which rows have one of some colours, by their numbers in the palette."""
        wanted = np.zeros(len(self.palette), dtype=bool)
        wanted[numbers] = True
        return np.bincount(self.rows[wanted[self.numbers]], minlength=self._many) > 0

    def sum_of_each_row(self, values: Ints) -> Ints:
        """Return for each row the sum of values, given for each colour of the palette."""
        sums = np.bincount(self.rows, values[self.numbers], minlength=self._many)
        return sums.astype(np.int64)

    def least_of_each(self, costs: Ints, none: int) -> Ints:
        """Return for each colour of the palette the least of what rows with it cost.

        Parameters
        ----------
        costs : array of int
            A cost for each row.
        none : int
            What is said where the palette's colour has no row of a lower cost.
        """
        found = np.full(len(self.palette), none)
        np.minimum.at(found, self.numbers, costs[self.rows])
        return found
