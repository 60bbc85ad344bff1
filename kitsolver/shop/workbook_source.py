"""A workbook (.xlsx) as a source: one of its sheets."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from typing import IO, Any
from zipfile import ZipFile

from kitsolver.shop.bounds import Reading
from kitsolver.shop.files import TimedFile
from kitsolver.shop.findings import BadInput, first_line
from kitsolver.shop.records import Records
from kitsolver.shop.sheets import chosen_sheet, sheet_records
from kitsolver.shop.source_findings import NoWorkbook, UnreadableWorkbook
from kitsolver.shop.table_records import Row, UnreadableValue

_UNREADABLE_CELL = "its value is damaged, or not of the kind that its cell says"


def recognises(file: IO[bytes]) -> bool:
    """Tell whether a file is a workbook, by its bytes: it is a zip archive."""
    begin = file.read(4)
    file.seek(0)
    return begin == b"PK\x03\x04"


def read(file: IO[bytes], asked: str, reading: Reading) -> Records:
    """Read the sheet that is asked for, or the first one.

    Raises
    ------
    BadInput
        If it cannot be read, has no such sheet, or is beyond a bound.
    """
    with warnings.catch_warnings():
        # What the library warns of, such as styles, changes no value that is read.
        warnings.simplefilter("ignore")
        try:
            return _records(file, asked, reading)
        except (BadInput, KeyboardInterrupt):
            raise
        except Exception as fault:
            # A damaged workbook makes the library raise almost anything.
            found = UnreadableWorkbook(file=reading.name, detail=first_line(fault))
            raise BadInput([found]) from None


def _records(file: IO[bytes], asked: str, reading: Reading) -> Records:
    from openpyxl import load_workbook

    with ZipFile(file) as archive:
        reading.check_size(sum(part.file_size for part in archive.infolist()))
        if not any(name.startswith("xl/") for name in archive.namelist()):
            raise BadInput([NoWorkbook(file=reading.name)])
    book = load_workbook(TimedFile(file, reading), read_only=True, data_only=True)
    sheets = {sheet.title: sheet for sheet in book.worksheets}
    chosen = chosen_sheet(list(sheets), asked, reading)
    return sheet_records(_rows(sheets[chosen], book, reading), chosen, list(sheets), reading)


def _rows(sheet: Any, book: Any, reading: Reading) -> Iterator[Row]:
    """Yield the number and the values of each row of a sheet that is not wholly empty."""
    from openpyxl.worksheet._reader import ROW_TAG
    from openpyxl.xml.functions import iterparse

    parser = _parser(sheet, book)
    # The library's own rows stop at the first bad cell, and fill gaps with billions of rows.
    with sheet._get_source() as source:
        for _, element in iterparse(source):
            if element.tag == ROW_TAG:
                number, cells = parser.parse_row(element)
                element.clear()
                filled = [cell for cell in cells if cell["value"] is not None]
                yield number, _side_by_side(filled, reading)


def _side_by_side(cells: list[dict[str, Any]], reading: Reading) -> list[Any]:
    """Return the values of a row from its first column to the last that is filled."""
    width = max((cell["column"] for cell in cells), default=0)
    reading.check_columns(width)
    values: list[Any] = [None] * width
    for cell in cells:
        values[cell["column"] - 1] = cell["value"]
    return values


def _parser(sheet: Any, book: Any) -> Any:
    """Return a parser of a sheet's rows that reads on after a bad cell."""
    from openpyxl.utils.cell import coordinate_to_tuple
    from openpyxl.worksheet._reader import VALUE_TAG, WorkSheetParser

    class Parser(WorkSheetParser):  # type: ignore[misc]
        col_counter: int

        def parse_cell(self, element: Any) -> dict[str, Any]:
            before = self.col_counter
            try:
                cell: dict[str, Any] = super().parse_cell(element)
            except Exception:
                # Again the library raises almost anything, here for one cell.
                self.col_counter = before + 1
                if coordinate := element.get("r"):
                    self.col_counter = coordinate_to_tuple(coordinate)[1]
                shown = str(element.findtext(VALUE_TAG) or "")
                value = UnreadableValue(shown[:120], _UNREADABLE_CELL)
                cell = {"column": self.col_counter, "value": value}
            return cell

    return Parser(
        None,
        sheet._shared_strings,
        data_only=True,
        epoch=book.epoch,
        date_formats=book._date_formats,
        timedelta_formats=book._timedelta_formats,
    )
