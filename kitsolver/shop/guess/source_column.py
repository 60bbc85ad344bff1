"""A column of a source as the guessing sees it: its header, its cells, and whose rows fill it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from kitsolver.shop.guess.draft import SAMPLES
from kitsolver.shop.sources.records import Coded

# A column is judged by at most so many distinct cells.
MOST_JUDGED = 2_000


@dataclass(frozen=True)
class SourceColumn:
    """A column of a source.

    Parameters
    ----------
    header : str
        Its header.
    place : int
        Its place in the source, from 0.
    texts : tuple of str
        Its distinct cells that are not blank, in the order in which they come.
    counts : tuple of int
        For each how many rows have it.
    filled : numpy.ndarray
        For each row whether its cell is not blank.
    parts : tuple of str
        If it stands for several columns that are joined, their headers.
    """

    header: str
    place: int
    texts: tuple[str, ...]
    counts: tuple[int, ...]
    filled: npt.NDArray[np.bool_]
    parts: tuple[str, ...] = ()

    @classmethod
    def of(cls, header: str, place: int, coded: Coded, rows: npt.NDArray[np.bool_]) -> SourceColumn:
        """Return the column as far as some rows have it."""
        held = np.bincount(coded.codes[rows], minlength=len(coded.texts))
        texts = coded.texts.tolist()
        used = [n for n in np.flatnonzero(held).tolist() if texts[n]][:MOST_JUDGED]
        return cls(
            header,
            place,
            tuple(texts[n] for n in used),
            tuple(int(held[n]) for n in used),
            coded.filled() & rows,
        )

    @classmethod
    def joined(cls, header: str, columns: Sequence[SourceColumn]) -> SourceColumn:
        """Return several columns as one, whose cells are those of all."""
        counts = Counter[str]()
        for column in columns:
            counts.update(dict(zip(column.texts, column.counts, strict=True)))
        return cls(
            header,
            columns[0].place,
            tuple(counts),
            tuple(counts.values()),
            np.logical_or.reduce([column.filled for column in columns]),
            tuple(column.header for column in columns),
        )

    @property
    def headers(self) -> tuple[str, ...]:
        """The headers that it stands for."""
        return self.parts or (self.header,)

    @property
    def samples(self) -> tuple[str, ...]:
        """Its first cells."""
        return self.texts[:SAMPLES]

    @property
    def rows(self) -> int:
        """How many rows fill it, of those that it is judged by."""
        return sum(self.counts)

    def share(self, looks: Callable[[str], object]) -> float:
        """Return the share of its filled rows whose cells look so."""
        good = sum(n for text, n in zip(self.texts, self.counts, strict=True) if looks(text))
        return good / self.rows if self.texts else 0.0

    def unlike(self, looks: Callable[[str], object]) -> tuple[str, ...]:
        """Return the first cells that do not look so."""
        return tuple(text for text in self.texts if not looks(text))[:SAMPLES]
