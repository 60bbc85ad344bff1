"""Spreadsheets other than .xlsx as a source: .ods and the old .xls, one of their sheets."""

from __future__ import annotations

from collections.abc import Iterator
from typing import IO, Any
from xml.etree.ElementTree import iterparse
from zipfile import BadZipFile, ZipFile

from kitsolver.shop.bounds import Reading
from kitsolver.shop.files import TimedFile
from kitsolver.shop.findings import BadInput, first_line
from kitsolver.shop.packages import needed
from kitsolver.shop.records import Records
from kitsolver.shop.sheets import chosen_sheet, sheet_records
from kitsolver.shop.source_findings import ManyCells, UnreadableWorkbook
from kitsolver.shop.table_records import Row

_XLS = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_ZIP = b"PK\x03\x04"
_ODS = b"application/vnd.oasis.opendocument.spreadsheet"
_TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
_CELLS = (f"{_TABLE}table-cell", f"{_TABLE}covered-table-cell")
_REPEATED_ROWS = f"{_TABLE}number-rows-repeated"
_REPEATED_COLUMNS = f"{_TABLE}number-columns-repeated"
# The library holds a sheet as a whole, with every cell from the first row to the last.
_MOST_CELLS = 20_000_000


def recognises(file: IO[bytes]) -> bool:
    """Tell whether a file is such a spreadsheet, by its bytes."""
    begin = file.read(8)
    file.seek(0)
    return begin == _XLS or (begin.startswith(_ZIP) and _is_ods(file))


def _is_ods(file: IO[bytes]) -> bool:
    try:
        with ZipFile(file) as archive:
            return archive.read("mimetype").startswith(_ODS)
    except (BadZipFile, KeyError, OSError, ValueError, NotImplementedError, RuntimeError):
        # What is damaged in other ways than this is told by the reader of workbooks.
        return False
    finally:
        file.seek(0)


def read(file: IO[bytes], asked: str, reading: Reading) -> Records:
    """Read the sheet that is asked for, or the first one.

    Raises
    ------
    BadInput
        If it cannot be read, has no such sheet, or is beyond a bound, or the package for it is
        missing.
    """
    library = needed("python_calamine", "spreadsheets", reading.name)
    try:
        if file.read(len(_ZIP)) == _ZIP:
            _check_ods(file, reading)
        file.seek(0)
        book = library.CalamineWorkbook.from_filelike(TimedFile(file, reading))
        sheet = chosen_sheet(book.sheet_names, asked, reading)
        rows = _rows(book.get_sheet_by_name(sheet), reading)
        return sheet_records(rows, sheet, book.sheet_names, reading)
    except BadInput:
        raise
    except BaseException as fault:
        # A damaged file makes the library raise errors of its own; one is a BaseException.
        if isinstance(fault, (KeyboardInterrupt, SystemExit, MemoryError)):
            raise
        raise BadInput([UnreadableWorkbook(file=reading.name, detail=first_line(fault))]) from None


def _rows(sheet: Any, reading: Reading) -> Iterator[Row]:
    reading.check_rows(sheet.total_height)
    reading.check_columns(sheet.total_width)
    for number, values in enumerate(sheet.iter_rows(), start=1):
        yield number, [None if value == "" else value for value in values]


def _check_ods(file: IO[bytes], reading: Reading) -> None:
    """Refuse a spreadsheet that is small as a file, and huge once its repeated rows are laid out.

    Raises
    ------
    BadInput
        If it is.
    """
    height = width = columns = filled_columns = 0
    with ZipFile(TimedFile(file, reading)) as archive:
        reading.check_size(sum(part.file_size for part in archive.infolist()))
        with archive.open("content.xml") as content:
            for _, element in iterparse(content):
                if element.tag in _CELLS:
                    columns += _repeats(element, _REPEATED_COLUMNS)
                    if len(element) or any("value" in name for name in element.attrib):
                        filled_columns = columns
                elif element.tag == f"{_TABLE}table-row":
                    height += _repeats(element, _REPEATED_ROWS)
                    width = max(width, filled_columns)
                    if filled_columns:
                        reading.check_rows(height)
                        reading.check_columns(width)
                        _check_cells(height * width, reading)
                    columns = filled_columns = 0
                    element.clear()
                elif element.tag == f"{_TABLE}table":
                    height = width = 0


def _check_cells(cells: int, reading: Reading) -> None:
    if cells > _MOST_CELLS:
        raise BadInput([ManyCells(file=reading.name, value=f"{_MOST_CELLS:,}")])


def _repeats(element: Any, name: str) -> int:
    return max(1, int(element.get(name, "1")))
