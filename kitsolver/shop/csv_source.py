"""A CSV file as a source."""

from __future__ import annotations

import io
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from kitsolver.shop.bounds import Bounds, Reading
from kitsolver.shop.csv_records import CsvRecords
from kitsolver.shop.files import CountedBytes, opened
from kitsolver.shop.records import Coded, Records
from kitsolver.shop.source_address import SourceAddress

# Bytes that are read at a time.
_AT_ONCE = 1 << 20


def read(address: SourceAddress, reading: Reading, *, keep_bytes: bool = False) -> Records:
    """Read a CSV file (RFC 4180, UTF-8 with or without BOM), a pipe as it comes.

    Parameters
    ----------
    address : SourceAddress
        The file's path.
    reading : Reading
        Its name for findings, and its bounds.
    keep_bytes : bool
        Whether the records hold the file's bytes, too.

    Raises
    ------
    BadInput
        If it is no readable CSV in UTF-8, is empty, or is beyond a bound.
    """
    with opened(address.as_written, reading) as file:
        counted = CountedBytes(file, reading, keep=keep_bytes)
        text = io.TextIOWrapper(
            io.BufferedReader(counted, _AT_ONCE),
            encoding="utf-8-sig",
            errors="surrogateescape",
            newline="",
        )
        records = CsvRecords(text, reading)
        cells = _cells(records)
    columns: dict[str, Coded] = {}
    for place, column in enumerate(records.header):
        if column not in columns:
            columns[column] = Coded.of(cells.iloc[:, place].to_numpy())
    return Records(
        header=records.header,
        header_row=records.header_row,
        rows=np.array(records.rows, dtype=np.int64),
        columns=columns,
        findings=tuple(records.findings),
        content=counted.content,
    )


def read_records(path: str | Path, name: str) -> Records:
    """Read the CSV file at a path, called `name` in findings, within the usual bounds.

    Raises
    ------
    BadInput
        As `read` does.
    """
    return read(SourceAddress(path), Reading(name, Bounds()))


def _cells(records: Any) -> pd.DataFrame:
    """Return the cells of all records as text."""
    # The stubs ask for a whole file object; pandas asks for `read` and `__iter__`.
    cells: pd.DataFrame = pd.read_csv(records, dtype=object, na_filter=False, index_col=False)
    return cells


def csv_bytes(header: Iterable[str], rows: Iterable[Iterable[str]]) -> bytes:
    """Return rows as the bytes of a CSV file."""
    import csv

    text = io.StringIO()
    lines = csv.writer(text)
    lines.writerow(header)
    lines.writerows(rows)
    return text.getvalue().encode("utf-8", "surrogateescape")
