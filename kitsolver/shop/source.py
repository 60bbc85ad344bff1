"""Where a catalogue comes from: every format that is read, and the rows of a source, read once.

A further format is a file of its own in `kitsolver.shop.sources`, with its findings in
``source_findings.py`` there. A database's has the functions ``takes`` and ``read``, and an entry
in `_DATABASES`. A file's has the functions ``recognises`` and ``read``, and an entry in `_FILES`: a
file is known by what it holds, and not by its name.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from io import BytesIO
from os import PathLike
from typing import TYPE_CHECKING

from kitsolver.shop.columns.registry import KNOWN
from kitsolver.shop.maps.mapped import known_names, mapped
from kitsolver.shop.maps.written import Written
from kitsolver.shop.sources import (
    csv_source,
    database_source,
    frame_source,
    parquet_source,
    spreadsheet_source,
    sqlite_source,
    workbook_source,
)
from kitsolver.shop.sources.bounds import Bounds, Reading
from kitsolver.shop.sources.file_format import FileFormat
from kitsolver.shop.sources.files import is_there, opened_with_places
from kitsolver.shop.sources.header_names import HeaderNames
from kitsolver.shop.sources.records import Records
from kitsolver.shop.sources.source_address import SourceAddress

if TYPE_CHECKING:
    from kitsolver.shop.maps.mapping import ColumnMap
    from kitsolver.shop.sources.frame_source import Table

_DATABASES = (sqlite_source, database_source)
# The first that recognises a file reads it; what none recognises is CSV.
_FILES = (spreadsheet_source, workbook_source, parquet_source)
# The columns by which the header of a catalogue is found.
HEADER_BY = ("sku", "price")
_ADDRESS = (str, PathLike, SourceAddress)


@dataclass(frozen=True)
class Source:
    """What was read of a source, under our names.

    Parameters
    ----------
    name : str
        What findings call it.
    records : Records
        Its rows.
    mapping : ColumnMap, optional
        How its headers and values became ours.
    written : Records, optional
        Its rows before that.
    """

    name: str
    records: Records
    mapping: ColumnMap | None = None
    written: Records | None = field(default=None, repr=False)

    @property
    def as_written(self) -> Written:
        """Its rows as the shop writes them."""
        return Written(self.written or self.records, self.mapping)

    @property
    def csv_bytes(self) -> bytes:
        """The bytes of the CSV file that it is, or else of one that holds the same."""
        if self.records.content is not None and self.mapping is None:
            return self.records.content
        cells = (coded.cells() for coded in self.records.columns.values())
        return csv_source.csv_bytes(self.records.columns, zip(*cells, strict=True))


def read_source(
    source: str | PathLike[str] | SourceAddress | Table,
    *,
    name: str | None = None,
    mapping: ColumnMap | None = None,
    keep_bytes: bool = False,
    header_by: Iterable[str] | HeaderNames = HEADER_BY,
) -> Source:
    """Read the rows of a source.

    Parameters
    ----------
    source : str, path-like, SourceAddress or dataframe
        A CSV file, a workbook or another spreadsheet (its first sheet, or that named behind a
        ``#``), a Parquet file, or the address of a database with a table's name or a query behind
        a ``#``. What a file holds is found out from its bytes. Or a table in memory: a pandas
        DataFrame, or whatever has the dataframe interchange protocol.
    name : str, optional
        What findings call it, if not by its address.
    mapping : ColumnMap, optional
        How its headers and values become ours, how it is written, and how much is read.
    keep_bytes : bool
        Whether `Source.csv_bytes` is asked for afterwards.
    header_by : iterable of str or HeaderNames
        Our names of the columns by which the header of a file is found, or how else it is found.

    Raises
    ------
    BadInput
        If it cannot be read, is beyond a bound, or lacks a column that is mapped.
    """
    address = SourceAddress(source) if isinstance(source, _ADDRESS) else None
    reading = Reading(
        name or (str(address) if address else frame_source.NAME),
        mapping.file.bounds if mapping else Bounds(),
        mapping.file.format if mapping else FileFormat(),
        _header_names(mapping, header_by),
        mapping.passing if mapping else {},
    )
    if isinstance(source, _ADDRESS):
        written = _read(SourceAddress(source), reading, keep_bytes)
    else:
        written = frame_source.read(source, reading)
    named = mapped(written, mapping, reading.name) if mapping else known_names(written)
    return Source(reading.name, named, mapping, written)


def _header_names(mapping: ColumnMap | None, header_by: Iterable[str] | HeaderNames) -> HeaderNames:
    """Return by which names the header of a file is found."""
    if isinstance(header_by, HeaderNames):
        return header_by
    if mapping is None:
        return HeaderNames(frozenset(header_by), KNOWN)
    # The type of a map takes a while to build, and most sources have none.
    from kitsolver.shop.maps.mapping import header_names

    return header_names(mapping, header_by)


def is_table_file(content: bytes) -> bool:
    """Tell whether the bytes of a file are those of a table that is no text, such as a workbook."""
    if content.startswith(csv_source.SQLITE):
        return True
    return any(each.recognises(BytesIO(content)) for each in _FILES)


def _read(address: SourceAddress, reading: Reading, keep_bytes: bool) -> Records:
    records: Records
    for database in _DATABASES:
        if database.takes(address):
            records = database.read(address, reading)
            return records
    # The name of a file may hold the sign that parts it from that of a sheet.
    path, asked = address.as_written, ""
    if not is_there(path):
        path, asked = address.location, address.asked
    with opened_with_places(path, reading) as file:
        for each in _FILES:
            if each.recognises(file):
                records = each.read(file, asked, reading)
                return records
        return csv_source.read(file, asked, reading, keep_bytes=keep_bytes)
