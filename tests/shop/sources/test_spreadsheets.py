"""Spreadsheets as .ods and as old .xls give the rows that a workbook gives."""

import shutil
import subprocess
import zipfile
from pathlib import Path

import openpyxl
import pandas as pd
import pytest

from kitsolver import BadInput, read_catalogue
from kitsolver.shop.maps.mapping import ColumnMap
from kitsolver.shop.source import read_source

# Most of these start a process.
pytestmark = pytest.mark.slow

# Written once by xlwt 1.3: the sheets Notes and Goods, with two title rows above the header.
XLS = Path(__file__).parent / "goods.xls"
ROWS = [
    ["Preisliste 2026", None, None, None, None, None],
    [None] * 6,
    ["sku", "name", "category", "price", "quality", "download"],
    ["A1", "Stickschere groß", "scissors", 8.5, 70, None],
    ["A2", "Nähkissen", "pincushion", 4, 60.25, "no"],
    [None, None, None, 12.5, None, None],
]


def as_xls(folder):
    return shutil.copy(XLS, folder / "goods.dat")


def as_ods(folder):
    path = folder / "goods.ods"
    with pd.ExcelWriter(path, engine="odf") as writer:
        pd.DataFrame([["hello"]]).to_excel(writer, sheet_name="Notes", header=False, index=False)
        pd.DataFrame(ROWS).to_excel(writer, sheet_name="Goods", header=False, index=False)
    return path.rename(folder / "goods.dat")


def as_xlsx(folder):
    book = openpyxl.Workbook()
    book.active.title = "Notes"
    book.active.append(["hello"])
    for row in ROWS:
        if "Goods" not in book.sheetnames:
            book.create_sheet("Goods")
        book["Goods"].append(row)
    path = folder / "goods.xlsx"
    book.save(path)
    return path.rename(folder / "goods.dat")


@pytest.mark.parametrize("made", [as_xls, as_ods, as_xlsx])
def test_every_spreadsheet_gives_the_same_rows(tmp_path, made):
    path = made(tmp_path)
    goods = read_catalogue(f"{path}#Goods", currency="EUR", skip_bad_rows=True)
    assert goods.text.to_numpy().tolist() == [
        ["A1", "Stickschere groß", "scissors", "8.5", "70", ""],
        ["A2", "Nähkissen", "pincushion", "4", "60.25", "no"],
    ]
    assert list(goods.text.index) == [4, 5]
    assert goods.findings[0].sentence == "Read from the sheet Goods, header in row 3."
    assert {finding.row for finding in goods.findings[1:]} == {6}


@pytest.mark.parametrize("made", [as_xls, as_ods, as_xlsx])
def test_numbers_that_are_numbers_need_no_decimal_comma(tmp_path, made):
    mapping = ColumnMap(decimal_comma=True, thousands=".", file={"sheet": "Goods"})
    goods = read_catalogue(made(tmp_path), currency="EUR", mapping=mapping, skip_bad_rows=True)
    assert goods.text["price"].tolist() == ["8.5", "4"]


@pytest.mark.parametrize("made", [as_xls, as_ods, as_xlsx])
def test_bounds_hold_for_every_spreadsheet(tmp_path, made):
    path = made(tmp_path)
    for bounds, code in (
        ({"most_rows": 3}, "many-rows"),
        ({"most_columns": 3}, "many-columns"),
        ({"most_cell": 9}, "long-cell"),
        ({"most_bytes": 99}, "much-data"),
    ):
        with pytest.raises(BadInput) as caught:
            read_source(f"{path}#Goods", mapping=ColumnMap(file=bounds))
        assert [found.code for found in caught.value.findings] == [code]


@pytest.mark.parametrize("share", [10, 50, 90, 99])
@pytest.mark.parametrize("made", [as_xls, as_ods])
def test_a_spreadsheet_that_is_cut_off_is_a_finding(tmp_path, made, share):
    path = Path(made(tmp_path))
    content = path.read_bytes()
    path.write_bytes(content[: len(content) * share // 100])
    with pytest.raises(BadInput) as caught:
        read_catalogue(f"{path}#Goods", currency="EUR")
    assert "unreadable-workbook" in {found.code for found in caught.value.findings}


def test_a_small_file_of_very_many_cells_is_refused(tmp_path):
    path = as_ods(tmp_path)
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    rows = b'<table:table-row table:number-rows-repeated="900000">'
    cells = b'<table:table-cell table:number-columns-repeated="1900"'
    content = parts["content.xml"].replace(b"<table:table-row>", rows)
    parts["content.xml"] = content.replace(b"<table:table-cell", cells)
    with zipfile.ZipFile(path, "w") as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    with pytest.raises(BadInput) as caught:
        read_source(f"{path}#Goods")
    assert [found.code for found in caught.value.findings] == ["unreadable-workbook"]


def test_a_spreadsheet_that_takes_too_long_is_given_up(tmp_path, monkeypatch):
    def endless(*_, timeout, **__):
        raise subprocess.TimeoutExpired("x", timeout)

    monkeypatch.setattr(subprocess, "run", endless)
    with pytest.raises(BadInput) as caught:
        read_source(as_xls(tmp_path))
    assert [found.code for found in caught.value.findings] == ["long-reading"]


def test_a_sheet_that_is_not_there_is_a_finding(tmp_path):
    with pytest.raises(BadInput) as caught:
        read_source(f"{as_xls(tmp_path)}#Good")
    (found,) = caught.value.findings
    assert (found.code, found.hint) == ("unknown-sheet", "did you mean Goods?")
