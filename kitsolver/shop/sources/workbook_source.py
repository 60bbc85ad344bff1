"""A workbook (.xlsx) as a source: one of its sheets."""

from __future__ import annotations

import warnings
from collections.abc import Iterator, Sequence
from typing import IO, Any
from zipfile import ZipFile

from kitsolver.shop.findings import BadInput, first_line
from kitsolver.shop.sources.bounds import Reading
from kitsolver.shop.sources.files import TimedFile
from kitsolver.shop.sources.records import Records
from kitsolver.shop.sources.sheets import chosen_sheet, sheet_records
from kitsolver.shop.sources.source_findings import NoWorkbook, UnreadableWorkbook
from kitsolver.shop.sources.table_records import Row


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
    with ZipFile(file) as archive:
        reading.check_size(sum(part.file_size for part in archive.infolist()))
        if not any(name.startswith("xl/") for name in archive.namelist()):
            raise BadInput([NoWorkbook(file=reading.name)])
    book = _opened(TimedFile(file, reading))
    sheets = {sheet.title: sheet for sheet in book.worksheets}
    chosen = chosen_sheet(list(sheets), asked, reading)
    return sheet_records(_rows(sheets[chosen], book, reading), chosen, list(sheets), reading)


def _rows(sheet: Any, book: Any, reading: Reading) -> Iterator[Row]:
    """Yield the number and the values of each row of a sheet that is not wholly empty."""
    from kitsolver.shop.sources.sheet_cells import SheetCells

    for number, cells in SheetCells(sheet, book).rows(sheet._get_source):
        yield number, _side_by_side(cells, reading)


def _side_by_side(cells: Sequence[tuple[int, Any]], reading: Reading) -> list[Any]:
    """Return the values of a row from its first column to the last that is filled."""
    width = max((column for column, _ in cells), default=0)
    reading.check_columns(width)
    values: list[Any] = [None] * width
    for column, value in cells:
        values[column - 1] = value
    return values


def _opened(file: Any) -> Any:
    """Return a workbook of which no sheet is looked at yet."""
    from openpyxl.reader.excel import ExcelReader
    from openpyxl.worksheet._read_only import ReadOnlyWorksheet

    class Sheet(ReadOnlyWorksheet):  # type: ignore[misc]
        def _get_size(self) -> None:
            # The library reads a whole sheet here if it does not say how large it is.
            pass

    class Reader(ExcelReader):  # type: ignore[misc]
        def read_worksheets(self) -> None:
            for sheet, part in self.parser.find_sheets():
                if part.target not in self.valid_files:
                    continue
                if "chartsheet" in part.Type:
                    self.read_chartsheet(sheet, part)
                else:
                    cells = Sheet(self.wb, sheet.name, part.target, self.shared_strings)
                    self.wb._sheets.append(cells)

    reader = Reader(file, read_only=True, data_only=True)
    reader.read()
    return reader.wb
