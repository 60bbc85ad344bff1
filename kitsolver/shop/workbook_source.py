"""A workbook (.xlsx) as a source: one of its sheets."""

from __future__ import annotations

import io
import warnings
from collections.abc import Iterator
from typing import IO, Any
from zipfile import ZipFile

from kitsolver.shop.bounds import Reading
from kitsolver.shop.files import opened_with_places
from kitsolver.shop.findings import BadInput, first_line, nearest
from kitsolver.shop.records import Records
from kitsolver.shop.source_address import SourceAddress
from kitsolver.shop.source_findings import UnknownSheet, UnreadableWorkbook
from kitsolver.shop.table_records import Row, UnreadableValue, table_records

_UNREADABLE_CELL = "its value is damaged, or not of the kind that its cell says"


def takes(address: SourceAddress) -> bool:
    """Tell whether an address is that of a workbook, by its ending."""
    return address.location.lower().endswith(".xlsx")


def read(address: SourceAddress, reading: Reading) -> Records:
    """Read the sheet behind the ``#`` of an address, or the first one.

    Raises
    ------
    BadInput
        If it cannot be read, has no such sheet, or is beyond a bound.
    """
    with opened_with_places(address.location, reading) as file, warnings.catch_warnings():
        # What the library warns of, such as styles, changes no value that is read.
        warnings.simplefilter("ignore")
        try:
            return table_records(_rows(file, address.asked, reading), reading)
        except (BadInput, KeyboardInterrupt):
            raise
        except Exception as fault:
            # A damaged workbook makes the library raise almost anything.
            found = UnreadableWorkbook(file=reading.name, detail=first_line(fault))
            raise BadInput([found]) from None


def _rows(file: IO[bytes], asked: str, reading: Reading) -> Iterator[Row]:
    """Yield the number and the values of each row of a sheet that is not wholly empty."""
    from openpyxl import load_workbook
    from openpyxl.worksheet._reader import ROW_TAG
    from openpyxl.xml.functions import iterparse

    with ZipFile(file) as archive:
        reading.check_size(sum(part.file_size for part in archive.infolist()))
    book = load_workbook(_TimedFile(file, reading), read_only=True, data_only=True)
    if asked and asked not in book.sheetnames:
        found = UnknownSheet(file=reading.name, value=asked, detail=nearest(asked, book.sheetnames))
        raise BadInput([found])
    sheets = {sheet.title: sheet for sheet in book.worksheets}
    if not sheets or (asked and asked not in sheets):
        raise BadInput([UnreadableWorkbook(file=reading.name, detail="it has no sheet of cells")])
    sheet = sheets[asked] if asked else book.worksheets[0]
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


class _TimedFile(io.RawIOBase):
    """A workbook's bytes: every part of it is read through here, so a slow one can be ended.

    Parameters
    ----------
    file : binary file
        The workbook.
    reading : Reading
        What its time is held against.
    """

    def __init__(self, file: IO[bytes], reading: Reading) -> None:
        super().__init__()
        self._file = file
        self._reading = reading

    def readable(self) -> bool:
        """Return whether it can be read, which it can."""
        return True

    def seekable(self) -> bool:
        """Return whether there is a way back, which there is."""
        return True

    def seek(self, offset: int, whence: int = 0, /) -> int:
        """Go to a place."""
        return self._file.seek(offset, whence)

    def tell(self) -> int:
        """Return the place."""
        return self._file.tell()

    def readinto(self, buffer: memoryview) -> int:  # type: ignore[override]
        """Read some bytes into a buffer and return how many."""
        self._reading.check_time()
        piece = self._file.read(len(buffer))
        buffer[: len(piece)] = piece
        return len(piece)
