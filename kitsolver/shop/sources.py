"""Where a catalogue comes from, whatever it is kept in and whatever its columns are called."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from kitsolver.shop.mapping import ColumnMap, mapped
from kitsolver.shop.records import Records, read_records
from kitsolver.shop.tables import shown, table_records


def records_of(source: str, name: str, mapping: ColumnMap | None = None) -> Records:
    """Return the rows of a source, column by column under our names.

    Parameters
    ----------
    source : str
        A CSV file, or what `kitsolver.shop.tables.table_records` takes.
    name : str
        What findings call it.
    mapping : ColumnMap, optional
        How its headers and values become ours.

    Raises
    ------
    BadInput
        If it cannot be read, or lacks a column that is mapped.
    """
    records = table_records(source, name) or read_records(Path(source), name)
    return records if mapping is None else mapped(records, mapping, name)


def bytes_of(source: str, mapping: ColumnMap | None = None) -> bytes:
    """Return the bytes of a CSV file, or of one that has what another source has.

    Raises
    ------
    BadInput
        If it cannot be read.
    OSError
        If it is a file that cannot be read.
    """
    records = table_records(source, shown(source))
    if records is None and mapping is None:
        return Path(source).read_bytes()
    records = records_of(source, shown(source), mapping)
    text = io.StringIO()
    lines = csv.writer(text)
    lines.writerow(records.columns)
    cells = (coded.texts[coded.codes] for coded in records.columns.values())
    lines.writerows(zip(*cells, strict=True))
    return text.getvalue().encode()
