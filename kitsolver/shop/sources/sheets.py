"""What all spreadsheets share: which sheet is read, and how that is told."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from kitsolver.shop.findings import BadInput, nearest
from kitsolver.shop.sources.bounds import Reading
from kitsolver.shop.sources.file_findings import ReadAs
from kitsolver.shop.sources.file_format import header_words
from kitsolver.shop.sources.records import Records
from kitsolver.shop.sources.source_findings import UnknownSheet, UnreadableWorkbook
from kitsolver.shop.sources.table_records import Row, table_records


def chosen_sheet(names: Sequence[str], asked: str, reading: Reading) -> str:
    """Return the sheet that is read: that behind the ``#``, the map's, or the first.

    Parameters
    ----------
    names : sequence of str
        Of the sheets that have cells.
    asked : str
        What stands behind the ``#`` of the address.
    reading : Reading
        The source's format as far as its map says it.

    Raises
    ------
    BadInput
        If there is no such sheet.
    """
    wanted = asked or reading.format.sheet
    if not names:
        raise BadInput([UnreadableWorkbook(file=reading.name, detail="it has no sheet of cells")])
    if not wanted:
        return names[0]
    if wanted not in names:
        raise BadInput(
            [UnknownSheet(file=reading.name, value=wanted, detail=nearest(wanted, names))]
        )
    return wanted


def sheet_records(
    rows: Iterable[Row], sheet: str, names: Sequence[str], reading: Reading
) -> Records:
    """Return the rows of a sheet, with a note where another could have been meant.

    Raises
    ------
    BadInput
        As `table_records` does.
    """
    records = table_records(rows, reading, find_header=True)
    taken = [] if len(names) == 1 else [f"from the sheet {sheet}"]
    if records.header_row != 1:
        taken.append(header_words(records.header_row, first=not taken))
    if taken:
        note = ReadAs(file=reading.name, detail=", ".join(taken))
        records = replace(records, notes=(note, *records.notes))
    return records
