"""From a file's bytes to trimmed columns: whatever can be said of a CSV of any content.

One parser reads the file, because two never agree on every broken file. A column is kept as
numbers into its distinct texts, so that each distinct text is trimmed, judged and converted once.
"""

from __future__ import annotations

import csv
import re
from array import array
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import numpy.typing as npt

from kitsolver.shop import kinds
from kitsolver.shop.findings import BadInput, Finding

# Records turned into columns at a time; more would only leave the processor's cache.
_BATCH = 1024

# Python's csv module refuses cells beyond a limit of the whole process; lists have no limit here.
_LONGEST_CELL = 2**31 - 1

# What decoding makes of bytes that are no UTF-8.
_UNDECODED = re.compile(r"[\udc80-\udcff]")


class _Distinct(dict[str, int]):
    """Numbers the distinct texts of a column as their cells are first looked up."""

    def __init__(self) -> None:
        self.texts: list[str] = []

    def __missing__(self, cell: str) -> int:
        text = cell.strip()
        if len(text) < len(cell):
            number = self[text]
        else:
            number = len(self.texts)
            self.texts.append(cell)
        self[cell] = number
        return number


@dataclass(frozen=True)
class Coded:
    """A column: for each row the place of its text in `texts`."""

    codes: npt.NDArray[np.int32]
    texts: npt.NDArray[np.object_]

    def filled(self) -> npt.NDArray[np.bool_]:
        """Return for each row whether its cell is not blank."""
        return (self.texts != "")[self.codes]


@dataclass(frozen=True)
class Records:
    """The well-formed rows of a file, column by column.

    Parameters
    ----------
    header : tuple of str
        The trimmed names of the columns, in the file's order.
    header_row : int
        The row that holds them.
    rows : numpy.ndarray
        For each row its number in the file.
    columns : dict of str to Coded
        By name; of several columns with one name the first.
    findings : tuple of Finding
        One for each row with too few or too many cells. Such rows are left out.
    """

    header: tuple[str, ...]
    header_row: int
    rows: npt.NDArray[np.int64]
    columns: dict[str, Coded] = field(repr=False)
    findings: tuple[Finding, ...]


def read_records(path: Path, name: str) -> Records:
    """Read the CSV file at `path`, called `name` in findings.

    Raises
    ------
    BadInput
        If it is no readable CSV in UTF-8, or is empty.
    """
    try:
        # Bytes that are no UTF-8 are let through, to be located by the row they stand in.
        with path.open(encoding="utf-8-sig", errors="surrogateescape", newline="") as file:
            return _gather(_records(file, name), name)
    except FileNotFoundError:
        raise BadInput([kinds.FileMissing(file=name)]) from None
    except IsADirectoryError:
        raise BadInput([kinds.FileIsFolder(file=name)]) from None
    except OSError as error:
        reason = error.strerror or str(error)
        raise BadInput([kinds.FileUnreadable(file=name, detail=reason)]) from None


def _gather(records: Iterator[tuple[int, list[str]]], name: str) -> Records:
    header_row, first = next(records, (0, []))
    if not first:
        raise BadInput([kinds.EmptyFile(file=name)])
    width = len(first)
    rows, findings = array("q"), list[Finding]()
    distinct = [_Distinct() for _ in first]
    codes = [array("i") for _ in first]
    cells: list[str] = []

    def sort_into_columns() -> None:
        for place in range(width):
            codes[place].extend(map(distinct[place].__getitem__, cells[place::width]))
        cells.clear()

    try:
        for row, record in records:
            if len(record) != width:
                findings.append(_ragged(name, row, len(record), width))
                continue
            rows.append(row)
            cells += record
            if len(cells) >= _BATCH * width:
                sort_into_columns()
    except BadInput as stop:
        raise BadInput([*findings, *stop.findings]) from None
    sort_into_columns()
    header = tuple(cell.strip() for cell in first)
    columns: dict[str, Coded] = {}
    for column in header:
        coded = Coded(np.frombuffer(codes.pop(0), np.int32), _texts(distinct.pop(0)))
        columns.setdefault(column, coded)
    return Records(header, header_row, np.frombuffer(rows, np.int64), columns, tuple(findings))


def _texts(distinct: _Distinct) -> npt.NDArray[np.object_]:
    texts = np.empty(len(distinct.texts), dtype=object)
    texts[:] = distinct.texts
    return texts


def _ragged(name: str, row: int, given: int, wanted: int) -> Finding:
    kind = kinds.TooFewCells if given < wanted else kinds.TooManyCells
    cells = "1 cell" if given == 1 else f"{given} cells"
    return kind(file=name, row=row, detail=f"{cells}, and the header has {wanted}")


class _Unusable(Exception):
    """A line that no CSV in UTF-8 holds."""

    def __init__(self, kind: type[Finding], value: str | None = None) -> None:
        self.kind, self.value = kind, value
        super().__init__(kind)


class _Lines:
    """The lines of a file; knows whether all of them were taken."""

    def __init__(self, file: Iterable[str]) -> None:
        self._file = file
        self.ended = False

    def __iter__(self) -> Iterator[str]:
        started = False
        for line in self._file:
            if not line.isascii() and (undecoded := _UNDECODED.search(line)):
                raise _Unusable(kinds.NotUtf8, f"0x{ord(undecoded[0]) - 0xDC00:02X}")
            if "\0" in line:
                raise _Unusable(kinds.NulByte)
            if not started and (started := not line.isspace()):
                _refuse_other_delimiter(line)
            yield line
        self.ended = True


def _refuse_other_delimiter(header: str) -> None:
    if "," in header:
        return
    for delimiter, called in {";": "semicolons", "\t": "tabs", "|": "vertical bars"}.items():
        if delimiter in header.strip():
            raise _Unusable(kinds.WrongDelimiter, called)


def _records(file: Iterable[str], name: str) -> Iterator[tuple[int, list[str]]]:
    """Yield each record that is not wholly blank, with its row."""
    csv.field_size_limit(_LONGEST_CELL)
    lines = _Lines(file)
    row = 0
    try:
        for row, record in enumerate(csv.reader(lines, strict=True), start=1):
            if any(map(str.strip, record)):
                yield row, record
    except _Unusable as found:
        raise BadInput([found.kind(file=name, row=row + 1, value=found.value)]) from None
    except csv.Error:
        kind = kinds.UnclosedQuote if lines.ended else kinds.TextAfterQuote
        raise BadInput([kind(file=name, row=row + 1)]) from None
