"""A CSV file as a source."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator
from itertools import islice
from pathlib import Path
from typing import IO, Any

import numpy as np
from numpy.typing import NDArray

from kitsolver.shop.findings import BadInput, Finding
from kitsolver.shop.skipped import counted
from kitsolver.shop.sources.bounds import Bounds, Reading
from kitsolver.shop.sources.csv_parser import CsvParser
from kitsolver.shop.sources.csv_records import CsvRecords
from kitsolver.shop.sources.encodings import Encoding, encoding_of
from kitsolver.shop.sources.file_findings import ReadAs
from kitsolver.shop.sources.file_format import FileFormat, delimiter_words, header_words
from kitsolver.shop.sources.files import CountedBytes, opened_with_places
from kitsolver.shop.sources.records import Coded, Records
from kitsolver.shop.sources.source_findings import DatabaseFile, UnknownSheet, WebPage

# Bytes and rows that are read at a time.
_AT_ONCE = 1 << 20
_ROWS_AT_ONCE = 1 << 16
# Of more bytes pandas parses the cells, and finds the distinct ones: its import takes longer than
# Python's own parser takes for these.
_MANY_BYTES = 4_000_000
# The first bytes of a database of SQLite.
SQLITE = b"SQLite format 3\0"
_WEB_PAGE = re.compile(
    rb"(?:\xef\xbb\xbf)?\s*<(?:!doctype html|html|table|meta|head)\b", re.IGNORECASE
)


def read(file: IO[bytes], asked: str, reading: Reading, *, keep_bytes: bool = False) -> Records:
    """Read a CSV file (RFC 4180), whatever its encoding and delimiter.

    Parameters
    ----------
    file : binary file
        Open at its start; it can go back there.
    asked : str
        The sheet that its address names, which no CSV file has.
    reading : Reading
        Its name for findings, its bounds, and its format as far as a map says it.
    keep_bytes : bool
        Whether the records hold the file's bytes, too.

    Raises
    ------
    BadInput
        If it is no readable CSV, is empty, or is beyond a bound.
    """
    _refuse_others(file, asked, reading)
    file.seek(0, io.SEEK_END)
    many = file.tell() > _MANY_BYTES
    file.seek(0)
    content = None
    if keep_bytes:
        content = file.read()
        file.seek(0)
    encoding = encoding_of(file, reading)
    text = io.TextIOWrapper(
        io.BufferedReader(CountedBytes(file, reading), _AT_ONCE),
        encoding=encoding.codec,
        errors="surrogateescape",
        newline="",
    )
    records = CsvRecords(text, reading, encoding.codec)
    columns: dict[str, Coded] = {}
    header = []
    for name, coded in zip(records.header, _columns(records, many), strict=True):
        # A delimiter at the end of every row makes a column without a name or a cell: it is none.
        if not name and not coded.filled().any():
            continue
        header.append(name)
        columns.setdefault(name, coded)
    return Records(
        header=tuple(header),
        header_row=records.header_row,
        rows=np.array(records.rows, dtype=np.int64),
        columns=columns,
        findings=tuple(records.findings),
        notes=(*_note(encoding, records, reading), *encoding.findings),
        content=content,
        skipped=counted("passed over", [""] * records.ragged.passed),
        format=FileFormat(encoding=encoding.to_write, delimiter=records.delimiter),
    )


def read_records(path: str | Path, name: str) -> Records:
    """Read a CSV file in UTF-8 with commas, called `name` in findings, within the usual bounds.

    Its first row that is not blank is the header.

    Raises
    ------
    BadInput
        As `read` does, and if it cannot be opened.
    """
    reading = Reading(name, Bounds(), FileFormat(encoding="utf-8", delimiter=","))
    with opened_with_places(str(path), reading) as file:
        return read(file, "", reading)


def _refuse_others(file: IO[bytes], asked: str, reading: Reading) -> None:
    """Refuse what is no CSV file by its first bytes, and a CSV file of which a sheet is asked."""
    begin = file.read(512)
    file.seek(0)
    if begin.startswith(SQLITE):
        raise BadInput([DatabaseFile(file=reading.name)])
    if _WEB_PAGE.match(begin):
        raise BadInput([WebPage(file=reading.name)])
    if asked:
        raise BadInput([UnknownSheet(file=reading.name, value=asked, detail="a CSV file has none")])


def _note(encoding: Encoding, records: CsvRecords, reading: Reading) -> Iterator[Finding]:
    """Yield how the file was read, unless it is written as kitsolver writes files."""
    taken = []
    if encoding.name != "UTF-8":
        taken.append(f"as {encoding.name}")
    if records.delimiter != ",":
        taken.append(f"parted by {delimiter_words(records.delimiter)}")
    if records.header_row != 1:
        taken.append(header_words(records.header_row, first=not taken))
    if taken:
        yield ReadAs(file=reading.name, detail=", ".join(taken))


def _columns(records: CsvRecords, many: bool) -> list[Coded]:
    """Return the columns of all records.

    They are coded some rows at a time: as plain texts all cells would take much more memory.
    """
    parts: list[list[Coded]] = [[] for _ in records.header]
    for columns in _parsed_by_pandas(records) if many else _parsed(records):
        for part, cells in zip(parts, columns, strict=True):
            part.append(Coded.of(cells))
    return [Coded.joined(part) for part in parts]


def _parsed(records: CsvRecords) -> Iterator[list[NDArray[np.object_]]]:
    """Yield the columns of some records at a time."""
    rows = CsvParser(records, records.most_cell, records.delimiter)
    width = len(next(rows))
    while True:
        piece = list(islice(rows, _ROWS_AT_ONCE))
        yield [np.array([row[place] for row in piece], dtype=object) for place in range(width)]
        if len(piece) < _ROWS_AT_ONCE:
            return


def _parsed_by_pandas(records: Any) -> Iterator[list[NDArray[np.object_]]]:
    """Yield the columns of some records at a time."""
    import pandas as pd

    # The stubs ask for a whole file object; pandas asks for `read` and `__iter__`.
    reader = pd.read_csv(
        records,
        sep=records.delimiter,
        dtype=object,
        na_filter=False,
        index_col=False,
        chunksize=_ROWS_AT_ONCE,
    )
    for cells in reader:
        yield [cells.iloc[:, place].to_numpy() for place in range(cells.shape[1])]


def csv_bytes(header: Iterable[str], rows: Iterable[Iterable[str]]) -> bytes:
    """Return rows as the bytes of a CSV file."""
    text = io.StringIO()
    lines = csv.writer(text)
    lines.writerow(header)
    lines.writerows(rows)
    return text.getvalue().encode("utf-8", "surrogateescape")
