"""The cells of a workbook, held against what the library itself reads of them."""

from __future__ import annotations

import datetime
from pathlib import Path
from zipfile import ZipFile

import pytest
from openpyxl import Workbook, load_workbook

from kitsolver.shop.findings import BadInput
from kitsolver.shop.sources.bounds import Bounds, Reading
from kitsolver.shop.sources.sheet_cells import SheetCells
from kitsolver.shop.sources.workbook_source import read

ROWS = [
    ["sku", "name", "price", "when", "lasts", "tick", "error", None, "digits"],
    ["A-1", " two  words ", 4.5, datetime.datetime(2024, 2, 29, 13), datetime.timedelta(hours=30)],
    [],
    ["A-2", "", 7, datetime.date(1999, 1, 1), datetime.time(4, 5), True, "#N/A", None, "0042"],
    ["A-3", "ä & <b>", -0.1, None, None, False, "=1/0", "far", 10**20],
    ["A-4", "line\nbreak", 1e-7, 1e300, "TRUE", "true", "1,5", " ", 0],
]


def written(path: Path, *, write_only: bool) -> Path:
    """Write all kinds of cells; a workbook that is only written has its texts in the cells."""
    book = Workbook(write_only=write_only)
    sheet = book.create_sheet("goods") if write_only else book.active
    for row in ROWS:
        sheet.append(row)
    if not write_only:
        sheet["C2"].number_format = '#,##0.00 "EUR"'
        sheet["C4"].number_format = "0%"
        sheet.merge_cells("A8:B9")
        sheet["AB30"] = "alone"
    book.save(path)
    return path


@pytest.mark.parametrize("write_only", [False, True])
def test_cells_are_those_that_the_library_reads(tmp_path: Path, write_only: bool) -> None:
    book = load_workbook(written(tmp_path / "b.xlsx", write_only=write_only), True, data_only=True)
    sheet = book.worksheets[0]
    found = {
        (number, column): value
        for number, cells in SheetCells(sheet, book).rows(sheet._get_source)
        for column, value in cells
    }
    expected = {
        (cell.row, cell.column): cell.value
        for row in sheet.iter_rows()
        for cell in row
        if cell.value is not None
    }
    assert found == expected
    kinds = [{key: type(value) for key, value in cells.items()} for cells in (found, expected)]
    assert kinds[0] == kinds[1]


def test_a_sheet_that_declares_entities_is_refused(tmp_path: Path) -> None:
    sound = written(tmp_path / "sound.xlsx", write_only=True)
    path = tmp_path / "entities.xlsx"
    with ZipFile(sound) as before, ZipFile(path, "w") as after:
        for part in before.namelist():
            content = before.read(part)
            if "worksheets/" in part:
                declared = b'<!DOCTYPE x [<!ENTITY many "x">]><worksheet'
                content = content.replace(b"<worksheet", declared)
            after.writestr(part, content)
    with path.open("rb") as file, pytest.raises(BadInput) as refused:
        read(file, "", Reading("entities.xlsx", Bounds()))
    assert "declares the entity many" in str(refused.value.findings[0].detail)
