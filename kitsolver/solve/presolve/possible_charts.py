"""Which charts some fabric may take and thread may colour, told before candidates are made."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from fractions import Fraction
from math import floor

import numpy as np
from numpy.typing import NDArray

from kitsolver.brief.brief import Brief
from kitsolver.craft.colour import DIFFERENCE_UNIT
from kitsolver.craft.fit import effective_count
from kitsolver.craft.lengths import INCH
from kitsolver.shop.palette import Palette
from kitsolver.solve.presolve.admitted_rows import AdmittedRows
from kitsolver.solve.rules.rule import Mask

# No two colours differ by so much.
ANY_DIFFERENCE = 1000

# An estimate in floating point is off by far less than this.
_SLACK = 1e-9


def fitting_charts(charts: AdmittedRows, fabrics: AdmittedRows, brief: Brief) -> Mask:
    """Return which charts are within some fabric with their margins, in doubt that they are."""
    stitches = np.column_stack([charts.table["stitches_wide"], charts.table["stitches_high"]])
    design = np.sort(stitches.astype(np.float64), axis=1)
    fits = np.zeros(len(design), dtype=bool)
    margin = 2 * float(brief.fit.margin)
    table = fabrics.table
    rolls = table["sold_by"] == 1
    kinds = list(zip(table["weave"].tolist(), table["count"].tolist(), strict=True))
    counts = {
        kind: float(effective_count(kind[0], Fraction(kind[1], 10_000), brief.fit.over))
        for kind in set(kinds)
    }
    count = np.array([counts[kind] for kind in kinds])
    for one in np.unique(count):
        same = count == one
        sides = np.column_stack([table["width"][same], table["height"][same]]).astype(np.float64)
        # A roll is as long as it need be.
        sides[rolls[same], 1] = np.inf
        # The largest sides of all may be those of different fabrics.
        short, long = np.sort(sides, axis=1).max(axis=0) * (1 + _SLACK) + 1
        cut = design * (INCH / one) + margin
        fits |= (cut[:, 0] <= short) & (cut[:, 1] <= long)
    return fits


class Matching:
    """Which charts and threads go together by their colours.

    Parameters
    ----------
    charts, threads : AdmittedRows
        The rows of the two needs.
    palette : Palette
        With all colours of these threads.
    """

    def __init__(
        self, charts: AdmittedRows, threads: AdmittedRows, palette: Palette, brief: Brief
    ) -> None:
        self._charts, self._threads, self._palette = charts, threads, palette
        self._tolerance = floor(brief.shades.tolerance * DIFFERENCE_UNIT)
        have = brief.need("thread").have
        self._at_home = Palette(have if isinstance(have, tuple) else ())

    def charts(self, wanted: Mask) -> Mask:
        """Return which of some charts have thread within the tolerance of each of their colours."""
        found = np.zeros_like(wanted)
        places = np.flatnonzero(wanted).tolist()
        drawn = self._drawn(places)
        each = sorted({colour for chart in drawn for colour in chart})
        bare = {colour for colour, close in self._near(each, self._palette) if not len(close)}
        if bare and len(self._at_home):
            bare -= {colour for colour, close in self._near(bare, self._at_home) if len(close)}
        found[places] = [bare.isdisjoint(chart) for chart in drawn]
        return found

    def threads(self, wanted: Mask, charts: Mask) -> Mask:
        """Return which of some threads have a colour within the tolerance of one of some charts."""
        found = np.zeros_like(wanted)
        places = np.flatnonzero(wanted)
        drawn = self._drawn(np.flatnonzero(charts).tolist())
        each = sorted({colour for chart in drawn for colour in chart})
        near = np.concatenate([close for _, close in self._near(each, self._palette)])
        names = list(self._palette.number)
        close = {names[number] for number in np.unique(near).tolist()}
        each_row = self._threads.colours_of(places.tolist())
        found[places] = [not close.isdisjoint(colours) for colours in each_row]
        return found

    def _drawn(self, places: Sequence[int]) -> list[list[str]]:
        """Return the colours of some charts."""
        return self._charts.colours_of(places)

    def _near(
        self, colours: Collection[str], palette: Palette
    ) -> Iterator[tuple[str, NDArray[np.int64]]]:
        """Yield each colour with the numbers of those of a palette within the tolerance."""
        near = palette.near_each(list(colours), self._tolerance)
        yield from ((one, close) for one, (close, _) in zip(colours, near, strict=True))
