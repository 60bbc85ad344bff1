"""A workbook, a Parquet file and a database give the kit that the CSV gives."""

import re
import zipfile
from datetime import date
from decimal import Decimal
from pathlib import Path

import openpyxl
import pandas as pd
import pytest
import sqlalchemy
from typer.testing import CliRunner

from kitsolver import BadInput, pick, read_brief, read_catalogue, record_of
from kitsolver.cli import app
from kitsolver.shop.maps.mapping import ColumnMap
from kitsolver.shop.source import read_source

DEMO = Path(__file__).parents[3] / "catalogues"
SHOP = DEMO / "tormellick-whelk.csv"
NUMBERS = ("price", "quality", "count", "width_cm", "height_cm", "stock")
SMALL = [["sku", "name", "category", "price", "quality"], ["A", "a bag", "bag", 1.5, 50]]


@pytest.fixture(scope="module")
def expected():
    brief = read_brief(DEMO / "bundle.toml")
    return record_of(pick(read_catalogue(SHOP, currency="EUR"), brief))


def typed():
    """Give the demo with numbers as a spreadsheet or a database has them."""
    cells = pd.read_csv(SHOP, dtype=str, keep_default_na=False)
    return cells.assign(
        **{name: pd.to_numeric(cells[name].where(cells[name] != "")) for name in NUMBERS}
    )


def picked(source):
    goods = read_catalogue(source, currency="EUR")
    return record_of(pick(goods, read_brief(DEMO / "bundle.toml")))


def book_of(rows, path, title="Goods"):
    book = openpyxl.Workbook()
    book.active.title = title
    for row in rows:
        book.active.append(row)
    book.save(path)
    return path


def findings_of(source, **how):
    with pytest.raises(BadInput) as caught:
        read_catalogue(source, **how)
    return caught.value.findings


def test_a_workbook_gives_the_same_kit(tmp_path, expected):
    typed().to_excel(tmp_path / "shop.xlsx", index=False)
    assert picked(tmp_path / "shop.xlsx") == expected


def test_a_sheet_can_be_named(tmp_path):
    path = book_of([["nothing"]], tmp_path / "shop.xlsx", "First")
    book = openpyxl.load_workbook(path)
    second = book.create_sheet("Second")
    for row in SMALL:
        second.append(row)
    book.save(path)
    assert len(read_catalogue(f"{path}#Second", currency="EUR")) == 1
    (found,) = findings_of(f"{path}#Secnod")
    assert (found.code, found.hint) == ("unknown-sheet", "did you mean Second?")


def test_findings_name_the_sheet_s_own_rows(tmp_path):
    rows = [[], *SMALL, [], ["B", "b", "bag", "cheap", 50], ["C", "c", "bag", 1, 5, "over"]]
    path = book_of(rows, tmp_path / "shop.xlsx")
    findings = findings_of(path, currency="EUR")
    assert [(one.code, one.row, one.column, one.value) for one in findings] == [
        ("read-as", None, None, None),
        ("not-a-number", 5, "price", "cheap"),
        ("too-many-cells", 6, None, None),
    ]
    assert findings[0].sentence == "Read with the header in row 2."


def test_a_parquet_file_gives_the_same_kit(tmp_path, expected):
    typed().to_parquet(tmp_path / "shop.parquet")
    assert picked(tmp_path / "shop.parquet") == expected
    decimals = typed()
    decimals["price"] = [Decimal(f"{price:.4f}") for price in decimals["price"]]
    decimals.to_parquet(tmp_path / "exact.parquet")
    assert picked(tmp_path / "exact.parquet") == expected


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (None, ""),
        (float("nan"), ""),
        (3.9, "3.9"),
        (0.1 + 0.2, "0.30000000000000004"),
        (14.0, "14"),
        (1e22, "1" + "0" * 22),
        (Decimal("3.9000"), "3.9"),
        (Decimal("100"), "100"),
        (True, "true"),
        (date(2026, 11, 25), "2026-11-25"),
        (" x ", "x"),
    ],
)
def test_values_read_as_a_csv_would_have_them(tmp_path, value, text):
    pd.DataFrame({"sku": ["A"], "own": [value]}).to_parquet(tmp_path / "x.parquet")
    assert read_source(tmp_path / "x.parquet").csv_bytes.decode() == f"sku,own\r\nA,{text}\r\n"


@pytest.fixture
def sqlite(tmp_path):
    address = f"sqlite:///{tmp_path / 'shop.db'}"
    engine = sqlalchemy.create_engine(address)
    typed().to_sql("goods", engine, index=False)
    engine.dispose()
    return address


def test_a_table_or_a_query_gives_the_same_kit(sqlite, expected):
    assert picked(f"{sqlite}#goods") == expected
    assert picked(f"{sqlite}#SELECT * FROM goods ORDER BY price DESC") == expected


def test_every_command_reads_a_database(sqlite, tmp_path):
    brief = str(DEMO / "bundle.toml")
    source = f"{sqlite}#goods"
    for command in (
        ("check", source, brief),
        ("pick", source, brief, "--json", str(tmp_path / "kit.json")),
        ("ladder", source, brief, "--from", "29", "--to", "30"),
        ("why", source, brief, "SC-HERON"),
        ("recheck", str(tmp_path / "kit.json"), source),
        ("batch", source, brief, "--out", str(tmp_path / "out"), "--workers", "1"),
    ):
        done = CliRunner().invoke(app, command)
        assert done.exit_code == 0, (command, done.output)


def test_what_a_database_cannot_answer_is_a_finding(sqlite, tmp_path):
    for source, code in (
        (sqlite, "nothing-asked"),
        (f"{sqlite}#none", "unknown-table"),
        (f"{sqlite}#SELECT nothing FROM goods", "no-answer"),
        ("nosuch://x/y#z", "not-read-only"),
        ("://#goods", "not-an-address"),
        (f"sqlite:///{tmp_path / 'no' / 'folder.db'}#goods", "file-missing"),
        (f"sqlite:///{'long' * 100}.db#goods", "file-unreadable"),
    ):
        (found,) = findings_of(source)
        assert found.code == code, source


@pytest.mark.parametrize(
    ("begin", "code"),
    [
        (b"PK\x03\x04", "unreadable-workbook"),
        (b"PAR1", "unreadable-parquet"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "unreadable-workbook"),
        (b"SQLite format 3\0", "database-file"),
        (b"<html><table>", "web-page"),
    ],
)
def test_a_file_is_taken_for_what_its_first_bytes_say(tmp_path, begin, code):
    (tmp_path / "x.csv").write_bytes(begin + b"sku,name\n")
    assert [found.code for found in findings_of(tmp_path / "x.csv")] == [code]


@pytest.mark.parametrize("name", ["x.xlsx", "x.parquet", "x.csv"])
def test_a_file_that_is_not_there_is_a_finding(tmp_path, name):
    assert [found.code for found in findings_of(tmp_path / name)] == ["file-missing"]


def test_a_zip_archive_that_is_no_workbook_is_a_finding(tmp_path):
    with zipfile.ZipFile(tmp_path / "x.xlsx", "w") as archive:
        archive.writestr("shop.csv", "sku,name\n")
    assert [found.code for found in findings_of(tmp_path / "x.xlsx")] == ["no-workbook"]


def test_postgresql_gives_the_same_kit(postgresql, expected):
    engine = sqlalchemy.create_engine(postgresql)
    typed().to_sql("goods", engine, index=False)
    engine.dispose()
    assert picked(f"{postgresql}#goods") == expected
    assert picked(f"{postgresql}#public.goods") == expected
    assert picked(f"{postgresql}#SELECT * FROM goods WHERE price < 50") == expected
    (found,) = findings_of(f"{postgresql}#SELECT none FROM goods")
    assert found.code == "no-answer"
    assert re.search("none", found.sentence)


def test_a_role_that_may_write_does_not_write_by_reading(postgresql):
    """The server itself refuses: the role owns the table and may do anything."""
    engine = sqlalchemy.create_engine(postgresql)
    columns = "sku text primary key, name text, category text, price numeric(8, 2), quality int"
    with engine.begin() as connection:
        for statement in (
            f"CREATE TABLE small ({columns})",
            "INSERT INTO small VALUES ('A', '50% off: a bag', 'bag', 1.50, 50)",
            "CREATE SEQUENCE counter",
            "CREATE FUNCTION emptied() RETURNS SETOF small LANGUAGE sql AS "
            "'DELETE FROM small RETURNING *'",
        ):
            connection.execute(sqlalchemy.text(statement))
    for asked, code in (
        ("DROP TABLE small", "not-one-select"),
        ("DELETE FROM small RETURNING *", "not-one-select"),
        ("SELECT 1; DROP TABLE small", "not-one-select"),
        ("SELECT * FROM emptied()", "no-answer"),
        ("WITH gone AS (DELETE FROM small RETURNING *) SELECT * FROM gone", "no-answer"),
        ("SELECT * INTO other FROM small", "no-answer"),
        ("SELECT nextval('counter')", "no-answer"),
        ("SELECT set_config('transaction_read_only', 'off', false), * FROM emptied()", "no-answer"),
        ("SELECT * FROM small FOR UPDATE", "no-answer"),
    ):
        (found,) = findings_of(f"{postgresql}#{asked}")
        assert found.code == code, asked
    query = "SELECT *, sku::text AS again FROM small WHERE name LIKE '50%:%' ORDER BY sku"
    (row,) = read_catalogue(f"{postgresql}#{query}").text.itertuples(index=False)
    assert (row.sku, row.name, row.price) == ("A", "50% off: a bag", "1.5")
    with engine.begin() as connection:
        assert connection.execute(sqlalchemy.text("SELECT count(*) FROM small")).scalar() == 1
        tables = connection.execute(sqlalchemy.text("SELECT to_regclass('other')")).scalar()
        assert tables is None
        assert connection.execute(sqlalchemy.text("SELECT last_value FROM counter")).scalar() == 1
    engine.dispose()


def test_an_endless_answer_of_a_server_is_refused(postgresql):
    few = ColumnMap(file={"most_rows": 1000})
    (found,) = findings_of(
        f"{postgresql}#SELECT generate_series(1, 10000000000) AS sku", mapping=few
    )
    assert found.code == "many-rows"
    quick = ColumnMap(file={"most_seconds": 1})
    (found,) = findings_of(f"{postgresql}#SELECT pg_sleep(30)", mapping=quick)
    assert found.code == "long-reading"


def test_dates_without_end_are_read_as_postgresql_writes_them(postgresql):
    # PostgreSQL 17 manual, 8.5.1.4: special values; dates reach from 4713 BC to 5874897 AD.
    query = (
        "SELECT 'S' AS sku, 'Stork' AS name, 'scissors' AS category, 5.10 AS price, 60 AS quality,"
        " date '2026-11-03' AS day, date 'infinity' AS until, date '0044-03-15 BC' AS since,"
        " timestamp '-infinity' AS seen, timestamptz 'infinity' AS zoned, time '24:00' AS closes"
    )
    row = read_catalogue(f"{postgresql}#{query}", currency="EUR").row("S")
    assert [row[name] for name in ("day", "until", "since", "seen", "zoned", "closes")] == [
        "2026-11-03",
        "infinity",
        "0044-03-15 BC",
        "-infinity",
        "infinity",
        "24:00:00",
    ]
