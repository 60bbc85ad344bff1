"""The well-formed rows of a source, column by column."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from kitsolver.shop.cell_faults import Fault
from kitsolver.shop.distinct import distinct
from kitsolver.shop.findings import Finding
from kitsolver.shop.skipped import Skipped
from kitsolver.shop.sources.file_format import FileFormat
from kitsolver.shop.sources.header_names import folded


@dataclass(frozen=True)
class Coded:
    """A column, as numbers into its distinct texts: each is judged and converted only once.

    Parameters
    ----------
    codes : numpy.ndarray
        For each row the place of its text.
    texts : numpy.ndarray
        The texts, trimmed; those of ``sku`` and ``category`` are distinct.
    faults : mapping of int to tuple of Fault
        For the place of a text why it cannot be used. The text is then as it was written; if
        there are no faults, they are told of another column.
    written : numpy.ndarray, optional
        For each text how the source has it, where that is something else.
    typed : frozenset of str
        The texts that the source has as numbers.
    """

    codes: npt.NDArray[np.signedinteger[Any]]
    texts: npt.NDArray[np.object_]
    faults: Mapping[int, tuple[Fault, ...]] = field(default_factory=dict)
    written: npt.NDArray[np.object_] | None = None
    typed: frozenset[str] = frozenset()

    @classmethod
    def of(cls, cells: npt.NDArray[np.object_]) -> Coded:
        """Return the column of these cells."""
        codes, raw = distinct(cells)
        texts = np.empty_like(raw)
        texts[:] = [text.strip() for text in raw]
        if (texts != raw).any():
            again, texts = distinct(texts)
            codes = again[codes]
        return cls(_narrow(codes, len(texts)), texts)

    @classmethod
    def joined(cls, parts: Sequence[Coded]) -> Coded:
        """Return the column of which these are the parts, one below the other."""
        if len(parts) == 1:
            return parts[0]
        again, texts = distinct(np.concatenate([part.texts for part in parts]))
        starts = np.cumsum([0, *(len(part.texts) for part in parts)])
        codes = np.empty(sum(len(part.codes) for part in parts), dtype=_width(len(texts)))
        end = 0
        for part, start in zip(parts, starts, strict=False):
            begin, end = end, end + len(part.codes)
            codes[begin:end] = again[start : start + len(part.texts)][part.codes]
        return cls(codes, texts)

    def cells(self) -> npt.NDArray[np.object_]:
        """Return the text of each row; `texts` itself if each row has a text of its own."""
        if len(self.texts) == len(self.codes) and (np.diff(self.codes) == 1).all():
            return self.texts
        found: npt.NDArray[np.object_] = self.texts[self.codes]
        return found

    def filled(self) -> npt.NDArray[np.bool_]:
        """Return for each row whether its cell is not blank."""
        filled: npt.NDArray[np.bool_] = (self.texts != "")[self.codes]
        return filled

    def among(self, words: Collection[str]) -> npt.NDArray[np.bool_]:
        """Return for each row whether its text is one of some words, which are folded."""
        hit = np.array([folded(text) in words for text in self.texts], dtype=bool)
        return hit[self.codes] if len(hit) else np.zeros(len(self.codes), dtype=bool)

    def of_rows(self, chosen: npt.NDArray[np.bool_]) -> Coded:
        """Return the column of some of the rows."""
        return replace(self, codes=self.codes[chosen])

    def distinct(self) -> Coded:
        """Return the column with each text once, apart from texts that have faults."""
        place: dict[object, int] = {}
        new = np.empty(len(self.texts), dtype=np.int32)
        for code, text in enumerate(self.texts.tolist()):
            new[code] = place.setdefault((code,) if code in self.faults else text, len(place))
        if len(place) == len(self.texts):
            return self
        first = np.unique(new, return_index=True)[1]
        return Coded(
            new[self.codes],
            self.texts[first],
            {int(new[code]): faults for code, faults in self.faults.items()},
            None if self.written is None else self.written[first],
            self.typed,
        )


def _width(texts: int) -> type[np.signedinteger[Any]]:
    """Return the narrowest type for codes of so many texts: a large file has very many codes."""
    kinds = (np.int8, np.int16, np.int32)
    return next((kind for kind in kinds if texts <= np.iinfo(kind).max), np.int64)


def _narrow(codes: npt.NDArray[np.intp], texts: int) -> npt.NDArray[np.signedinteger[Any]]:
    return codes.astype(_width(texts))


@dataclass(frozen=True)
class Records:
    """The well-formed rows of a source.

    Parameters
    ----------
    header : tuple of str
        The trimmed names of the columns, in the source's order.
    header_row : int
        The row that holds them; 0 where the source has names for its columns.
    rows : numpy.ndarray
        For each row its number in the source.
    columns : dict of str to Coded
        By name; of several columns with one name the first.
    findings : tuple of Finding
        What is wrong with rows that are left out: too few or too many cells, unreadable ones.
    notes : tuple of Finding
        How the source was read, and what of that is uncertain.
    content : bytes, optional
        The bytes of the source, where it is a CSV file and they are asked for.
    skipped : tuple of Skipped
        The rows that the map of columns passes over, by category.
    passed_over : mapping of str to int
        For the sku of each of them the number of its row.
    format : FileFormat
        How a CSV file is written, as it was found out.
    """

    header: tuple[str, ...]
    header_row: int
    rows: npt.NDArray[np.int64]
    columns: dict[str, Coded] = field(repr=False)
    findings: tuple[Finding, ...]
    notes: tuple[Finding, ...] = ()
    content: bytes | None = field(default=None, repr=False)
    skipped: tuple[Skipped, ...] = ()
    passed_over: Mapping[str, int] = field(default_factory=dict, repr=False)
    format: FileFormat = field(default_factory=FileFormat)

    def faults(self, name: str) -> Iterator[Finding]:
        """Yield what a map could not convert, in every row; `name` is the source's."""
        for column, coded in self.columns.items():
            for place in np.flatnonzero(np.isin(coded.codes, list(coded.faults))).tolist():
                for kind, value, detail in coded.faults[int(coded.codes[place])]:
                    row = int(self.rows[place])
                    yield kind(file=name, row=row, column=column, value=value, detail=detail)
