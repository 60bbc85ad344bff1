"""Where a catalogue comes from: every format that is read, and the rows of a source, read once.

A further format is a file of its own beside these, with the functions ``takes`` and ``read``, an
entry in `_FORMATS`, and its findings in `kitsolver.shop.source_findings`.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from os import PathLike

from kitsolver.shop import (
    csv_source,
    database_source,
    parquet_source,
    sqlite_source,
    workbook_source,
)
from kitsolver.shop.bounds import Bounds, Reading
from kitsolver.shop.mapping import ColumnMap, mapped
from kitsolver.shop.records import Records
from kitsolver.shop.source_address import SourceAddress

# The first that takes an address reads it; what none takes is CSV.
_FORMATS = (sqlite_source, database_source, workbook_source, parquet_source)


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
    def csv_bytes(self) -> bytes:
        """The bytes of the CSV file that it is, or else of one that holds the same."""
        if self.records.content is not None and self.mapping is None:
            return self.records.content
        cells = (coded.texts[coded.codes] for coded in self.records.columns.values())
        return csv_source.csv_bytes(self.records.columns, zip(*cells, strict=True))


def read_source(
    source: str | PathLike[str] | SourceAddress,
    *,
    name: str | None = None,
    mapping: ColumnMap | None = None,
    keep_bytes: bool = False,
) -> Source:
    """Read the rows of a source.

    Parameters
    ----------
    source : str, path-like or SourceAddress
        A CSV file (RFC 4180, UTF-8 with or without BOM), a workbook (``.xlsx``, its first sheet or
        that named behind a ``#``), a Parquet file (``.parquet``), or the address of a database
        with a table's name or a query behind a ``#``.
    name : str, optional
        What findings call it, if not by its address.
    mapping : ColumnMap, optional
        How its headers and values become ours, and how much is read.
    keep_bytes : bool
        Whether `Source.csv_bytes` is asked for afterwards.

    Raises
    ------
    BadInput
        If it cannot be read, is beyond a bound, or lacks a column that is mapped.
    """
    address = SourceAddress(source)
    bounds = mapping.file.bounds if mapping else Bounds()
    reading = Reading(name or str(address), bounds)
    for each in _FORMATS:
        if each.takes(address):
            records = each.read(address, reading)
            break
    else:
        records = csv_source.read(address, reading, keep_bytes=keep_bytes)
    written = records
    if mapping is not None:
        records = mapped(records, mapping, reading.name)
    return Source(reading.name, records, mapping, written)
