"""Rows with too few or too many cells: which of them are passed over, and what the others are."""

from __future__ import annotations

from collections.abc import Sequence

from kitsolver.shop.catalogue_findings import TotalsRow
from kitsolver.shop.cell_faults import shortened
from kitsolver.shop.findings import Finding
from kitsolver.shop.sources.bounds import Reading
from kitsolver.shop.sources.file_findings import TooFewCells, TooManyCells
from kitsolver.shop.sources.header_names import folded
from kitsolver.shop.sources.totals import total_among


class Ragged:
    """Judges the rows of one source whose cells cannot be assigned to columns.

    Parameters
    ----------
    header : sequence of str
        The names of the columns.
    reading : Reading
        The source's name, and which rows its map passes over.

    Attributes
    ----------
    passed : int
        How many rows were passed over so far.
    """

    def __init__(self, header: Sequence[str], reading: Reading) -> None:
        self._header = header
        self._name = reading.name
        self._words = [reading.passing.get(folded(name), frozenset()) for name in header]
        self.passed = 0

    def judge(self, row: int, cells: Sequence[str]) -> Finding | None:
        """Return what is wrong with a row, or None if the map passes it over.

        Parameters
        ----------
        row : int
            Its number.
        cells : sequence of str
            Its cells, fewer or more than the header has.
        """
        pairs = zip(cells, self._words, strict=False)
        if any(folded(cell) in words for cell, words in pairs):
            self.passed += 1
            return None
        width = len(self._header)
        total = total_among(cells[:width])
        if total is not None:
            return TotalsRow(
                file=self._name,
                row=row,
                column=self._header[total],
                value=shortened(cells[total].strip()),
            )
        kind = TooFewCells if len(cells) < width else TooManyCells
        counted = "1 cell" if len(cells) == 1 else f"{len(cells)} cells"
        return kind(file=self._name, row=row, detail=f"{counted}, and the header has {width}")
