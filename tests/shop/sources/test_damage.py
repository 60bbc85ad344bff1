"""Damaged workbooks and Parquet files: one bad cell is one finding, a bad file is one, too."""

import zipfile
from pathlib import Path

import pyarrow as pa
import pyarrow.parquet
import pytest
from handmade import HEADER, changed_part, workbook

from kitsolver import BadInput, read_catalogue

SHEET = "xl/worksheets/sheet1.xml"
GOOD = ("A", "a", "bag", 1.5, 50)


def findings_of(path, **how):
    with pytest.raises(BadInput) as caught:
        read_catalogue(path, currency="EUR", **how)
    return caught.value.findings


def test_a_workbook_written_by_hand_is_read(tmp_path):
    shared = ["a", "bag"]
    first, second = '<c t="s"><v>0</v></c>', '<c t="s"><v>1</v></c>'
    path = workbook(tmp_path / "x.xlsx", [HEADER, ("A", first, second, 1.5, 50)], shared=shared)
    goods = read_catalogue(path, currency="EUR")
    assert dict(goods.row("A")) == dict(zip(HEADER, ["A", "a", "bag", "1.5", "50"], strict=True))


@pytest.mark.parametrize(
    ("cell", "shown"),
    [
        ('<c r="D3"><v>cheap</v></c>', "cheap"),
        ('<c r="D3"><v>1.5.5</v></c>', "1.5.5"),
        ('<c r="D3"><v>' + "9" * 5000 + "</v></c>", "9" * 120),
        ('<c r="D3" t="s"><v>99</v></c>', "99"),
        ('<c r="D3" t="s"><v>x</v></c>', "x"),
        ('<c r="D3" t="b"><v>maybe</v></c>', "maybe"),
        ('<c r="D3" t="d"><v>some day</v></c>', "some day"),
        ('<c r="D3" s="x"><v>1</v></c>', "1"),
        # Without a place of its own a cell stands beside the one before it.
        ("<c><v>cheap</v></c>", "cheap"),
    ],
)
def test_a_bad_cell_is_one_finding_and_the_rest_is_read(tmp_path, cell, shown):
    rows = [HEADER, GOOD, ("B", "b", "bag", cell, 50), ("C", *GOOD[1:])]
    path = workbook(tmp_path / "x.xlsx", rows)
    goods = read_catalogue(path, currency="EUR", skip_bad_rows=True)
    (found,) = goods.findings
    assert (found.code, found.row, found.column, found.value) == (
        "unreadable-cell",
        3,
        "price",
        shown,
    )
    assert goods.skus == {"A", "C"}
    assert findings_of(path) == (found,)


@pytest.mark.parametrize(
    ("cell", "code"),
    [
        ('<c r="D3" t="e"><v>#DIV/0!</v></c>', "not-a-number"),
        # As a date it is beyond all dates, of which the library warns.
        ('<c r="D3" s="1"><v>99999999999</v></c>', "not-a-number"),
        ('<c r="D3"><v>1e999</v></c>', "not-finite"),
    ],
)
def test_a_cell_that_is_no_price_is_found_as_in_a_csv_file(tmp_path, cell, code):
    path = workbook(tmp_path / "x.xlsx", [HEADER, GOOD, ("B", "b", "bag", cell, 50)])
    assert [(found.code, found.row) for found in findings_of(path)] == [(code, 3)]


SHEETS = {
    "none": "",
    "a picture": '<sheet name="Goods" sheetId="1" r:id="rId9"/>',
    "no name": '<sheet sheetId="1" r:id="rId1"/>',
}


@pytest.mark.parametrize("sheets", SHEETS)
def test_a_workbook_without_a_sheet_of_cells_is_a_finding(tmp_path, sheets):
    path = workbook(tmp_path / "x.xlsx", [HEADER, GOOD], sheets=SHEETS[sheets])
    assert [found.code for found in findings_of(path)] == ["unreadable-workbook"]


def test_a_sum_that_does_not_match_is_a_finding(tmp_path):
    path = workbook(tmp_path / "x.xlsx", [HEADER, *[GOOD] * 50])
    content = bytearray(path.read_bytes())
    with zipfile.ZipFile(path) as book:
        place = book.getinfo(SHEET).header_offset
    # The sum stands 14 bytes into the head of a part, and again in the list at the end.
    wanted = bytes(content[place + 14 : place + 18])
    path.write_bytes(bytes(content).replace(wanted, b"\x01\x02\x03\x04"))
    (found,) = findings_of(path)
    assert (found.code, "CRC" in found.sentence) == ("unreadable-workbook", True)


@pytest.mark.parametrize("name", ["xl/workbook.xml", "[Content_Types].xml", SHEET, "xl/styles.xml"])
@pytest.mark.parametrize("content", [b"", b"<", b"\0", b"<a>" * 9_000], ids=range(4))
def test_a_part_that_is_no_xml_is_a_finding(tmp_path, name, content):
    path = workbook(tmp_path / "x.xlsx", [HEADER, GOOD])
    changed_part(path, name, lambda _: content)
    assert [found.code for found in findings_of(path)] == ["unreadable-workbook"]


@pytest.mark.parametrize("share", [0, 1, 10, 50, 90, 99])
@pytest.mark.parametrize("kind", ["xlsx", "parquet"])
def test_a_file_that_is_cut_off_is_a_finding(tmp_path, kind, share):
    path = tmp_path / f"x.{kind}"
    if kind == "xlsx":
        workbook(path, [HEADER, *[GOOD] * 50])
    else:
        table = pa.table([[value] for value in GOOD], names=HEADER)
        pa.parquet.write_table(table, path)
    content = path.read_bytes()
    path.write_bytes(content[: len(content) * share // 100])
    # By its bytes it may be of another kind, and by none of them it is empty.
    codes = {"unreadable-workbook", "unreadable-parquet", "empty-file"}
    assert {found.code for found in findings_of(path)} <= codes


def parquet_of(path: Path, **columns):
    """Write a Parquet file without compression, so that its bytes can be changed."""
    goods = {name: [value] * 3 for name, value in zip(HEADER, GOOD, strict=True)}
    goods["sku"] = ["A", "B", "C"]
    pa.parquet.write_table(
        pa.table(goods | columns), path, compression="none", use_dictionary=False
    )
    return path


@pytest.mark.parametrize("unit", ["ms", "us"])
def test_a_time_beyond_all_dates_is_one_finding(tmp_path, unit):
    times = pa.array([0, 10**18, None], pa.timestamp(unit))
    path = parquet_of(tmp_path / "x.parquet", since=times)
    goods = read_catalogue(path, currency="EUR", skip_bad_rows=True)
    (found,) = goods.findings
    assert (found.code, found.row, found.column) == ("unreadable-cell", 2, "since")
    assert goods.skus == {"A", "C"}
    assert goods.row("A")["since"].startswith("1970-01-01")


@pytest.mark.parametrize("kind", [pa.date32(), pa.time32("s"), pa.duration("s")], ids=str)
def test_other_kinds_of_time_are_findings_or_text(tmp_path, kind):
    values = pa.array([0, 2**31 - 1, 1], pa.int32() if kind.bit_width == 32 else pa.int64())
    path = parquet_of(tmp_path / "x.parquet", since=values.cast(kind, safe=False))
    goods = read_catalogue(path, currency="EUR", skip_bad_rows=True)
    assert {found.code for found in goods.findings} <= {"unreadable-cell"}
    assert {"A", "C"} <= goods.skus


def test_bytes_that_are_no_text_are_one_finding(tmp_path):
    path = parquet_of(tmp_path / "x.parquet", note=["fine", "caf\u00e9 1234", "fine"])
    content = path.read_bytes()
    # The statistics hold the text once more.
    path.write_bytes(content.replace("caf\u00e9 1234".encode(), b"caf\xff\xfe 1234"))
    goods = read_catalogue(path, currency="EUR", skip_bad_rows=True)
    (found,) = goods.findings
    assert (found.code, found.row, found.column) == ("unreadable-cell", 2, "note")
    assert found.value == "caf\\xff\\xfe 1234"
    assert goods.skus == {"A", "C"}


def test_bytes_that_are_text_are_read(tmp_path):
    notes = pa.array([b"caf\xc3\xa9", b"\xff", None], pa.binary())
    path = parquet_of(tmp_path / "x.parquet", note=notes)
    goods = read_catalogue(path, currency="EUR", skip_bad_rows=True)
    assert goods.row("A")["note"] == "caf\u00e9"
    assert [(found.code, found.row) for found in goods.findings] == [("unreadable-cell", 2)]
