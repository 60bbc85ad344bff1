"""Databases are read and never written to, whatever their address asks for."""

import contextlib
import sqlite3
import subprocess
import sys

import pytest

from kitsolver import BadInput, read_catalogue
from kitsolver.shop.sources.sql_query import Table, asked_of

HEADER = ("sku", "name", "category", "price", "quality")


@pytest.fixture
def shop(tmp_path):
    """A little shop, and a second table that nobody is to touch."""
    path = tmp_path / "shop.db"
    with contextlib.closing(sqlite3.connect(path)) as made, made:
        made.execute("CREATE TABLE goods (sku TEXT PRIMARY KEY, name, category, price, quality)")
        made.execute("INSERT INTO goods VALUES ('A', 'a bag', 'bag', 1.5, 50)")
        made.execute("CREATE TABLE orders (id)")
        made.execute("INSERT INTO orders VALUES (1)")
    return path


def code_of(source):
    with pytest.raises(BadInput) as caught:
        read_catalogue(source, currency="EUR")
    return [finding.code for finding in caught.value.findings]


def bytes_below(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir()}


WRITES = [
    "DROP TABLE goods",
    "DELETE FROM goods",
    "INSERT INTO goods VALUES ('B', 'b', 'bag', 1, 1)",
    "UPDATE goods SET price = 0",
    "CREATE TABLE more (a)",
    "VACUUM",
    "VACUUM INTO 'copy.db'",
    "ATTACH 'other.db' AS other",
    "PRAGMA journal_mode = DELETE",
    "PRAGMA user_version = 7",
    "REINDEX",
    "BEGIN EXCLUSIVE",
    "SELECT 1; DROP TABLE goods",
    "SELECT 1 /* ' */ ; DROP TABLE goods; /* ' */",
    "SELECT 1 -- '\n; DROP TABLE goods",
    "WITH gone AS (SELECT 1) DELETE FROM goods",
    "EXPLAIN SELECT 1",
]


@pytest.mark.parametrize("asked", WRITES)
def test_what_is_no_select_changes_nothing(shop, asked, monkeypatch):
    monkeypatch.chdir(shop.parent)
    before = bytes_below(shop.parent)
    assert code_of(f"sqlite:///{shop}#{asked}")[0] in (
        "not-one-select",
        "no-answer",
        "unknown-table",
    )
    assert bytes_below(shop.parent) == before


@pytest.mark.parametrize(
    "asked",
    [
        "SELECT * FROM pragma_table_info('goods')",
        "SELECT load_extension('x')",
        "WITH gone AS (SELECT 1) INSERT INTO orders SELECT 2",
    ],
)
def test_the_connection_refuses_what_a_select_may_hide(shop, asked):
    before = bytes_below(shop.parent)
    assert code_of(f"sqlite:///{shop}#{asked}") == ["no-answer"]
    assert bytes_below(shop.parent) == before


def test_a_missing_file_is_never_made(tmp_path):
    for address in ("sqlite:///", "sqlite+pysqlite:///"):
        assert code_of(f"{address}{tmp_path}/none.db#goods") == ["file-missing"]
    assert code_of(f"sqlite:///{tmp_path}#goods") == ["file-is-folder"]
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    "address",
    ["sqlite://#goods", "sqlite:///:memory:#goods", "sqlite:///file:x?mode=rwc#goods"],
)
def test_what_is_no_file_is_no_address(address, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert code_of(address) == ["not-an-address"]
    assert not list(tmp_path.iterdir())


def test_signs_in_a_path_mean_nothing(shop):
    odd = shop.with_name("50% of ä.db")
    shop.rename(odd)
    assert len(read_catalogue(f"sqlite:///{odd}#goods", currency="EUR")) == 1


def test_a_database_in_wal_mode_is_read_while_another_writes(shop):
    with contextlib.closing(sqlite3.connect(shop)) as writer:
        writer.execute("PRAGMA journal_mode = WAL")
        writer.execute("INSERT INTO goods VALUES ('B', 'b', 'bag', 1, 1)")
        writer.commit()
        assert len(read_catalogue(f"sqlite:///{shop}#goods", currency="EUR")) == 2
        assert {path.name for path in shop.parent.iterdir()} == {
            "shop.db",
            "shop.db-wal",
            "shop.db-shm",
        }
        assert writer.execute("SELECT count(*) FROM goods").fetchone() == (2,)


def test_values_of_other_types_than_their_column_s_are_read_as_they_are(tmp_path):
    """Text in a DECIMAL column and no date in a DATE column: one finding, with its place."""
    path = tmp_path / "shop.db"
    with contextlib.closing(sqlite3.connect(path)) as made, made:
        made.execute(
            "CREATE TABLE goods (sku TEXT, name TEXT, category TEXT, price DECIMAL(8, 2), "
            "quality DECIMAL, since DATE, at DATETIME, ok BOOLEAN)"
        )
        rows = [
            ("A", "a", "bag", "cheap", 50, "2026-11-25", "x", 1),
            ("B", "b", "bag", 3.9, 50, "some day", "2026-11-25 10:00:00.5", "yes"),
            ("C", b"\xff\xfe", "bag", 2, 50, None, None, None),
            ("D", b"bytes that are text", "bag", 2, 50, None, None, None),
        ]
        made.executemany("INSERT INTO goods VALUES (?, ?, ?, ?, ?, ?, ?, ?)", rows)
        made.execute("INSERT INTO goods VALUES ('E', CAST(x'ff41' AS TEXT), 'bag', 1, 1, 0, 0, 0)")
    goods = read_catalogue(f"sqlite:///{path}#goods", currency="EUR", skip_bad_rows=True)
    found = {(one.code, one.row, one.column, one.value) for one in goods.findings}
    assert found == {
        ("not-a-number", 1, "price", "cheap"),
        ("unreadable-cell", 3, "name", "\\xff\\xfe"),
        ("unreadable-cell", 5, "name", "\\xffA"),
    }
    assert goods.row("B")["since"] == "some day"
    assert goods.row("D")["name"] == "bytes that are text"


def test_a_file_that_is_no_database_is_a_finding(tmp_path):
    path = tmp_path / "shop.db"
    path.write_bytes(b"no database " * 1000)
    assert code_of(f"sqlite:///{path}#goods") == ["no-answer"]


def test_every_connection_is_closed_however_the_reading_ends(shop, monkeypatch):
    """Python 3.13 warns of one that is not."""
    opened, closed, connect = [], [], sqlite3.connect

    class Noted(sqlite3.Connection):
        def close(self):
            closed.append(self)
            super().close()

    def noted(*args, **options):
        opened.append(connect(*args, factory=Noted, **options))
        return opened[-1]

    monkeypatch.setattr(sqlite3, "connect", noted)
    assert len(read_catalogue(f"sqlite:///{shop}#goods", currency="EUR")) == 1
    assert code_of(f"sqlite:///{shop}#none") == ["unknown-table"]
    shop.write_bytes(b"no database " * 1000)
    assert code_of(f"sqlite:///{shop}#goods") == ["no-answer"]
    assert closed == opened
    assert len(opened) == 3


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("goods", Table(None, "goods")),
        ("main.goods", Table("main", "goods")),
        ("SELECT 1;", "SELECT 1"),
        ("with x as (select 1) select * from x", "with x as (select 1) select * from x"),
        ("SELECT ';--/*' AS \"a;b\"", "SELECT ';--/*' AS \"a;b\""),
        ("SELECT 'it''s; fine'", "SELECT 'it''s; fine'"),
    ],
)
def test_what_may_be_asked(asked, found):
    assert asked_of(asked, "x") == found


@pytest.mark.parametrize(
    "asked",
    ["SELECT 'open", "SELECT '\\'; DROP TABLE goods'", "SELECTED x", "goods; goods", "TABLE goods"],
)
def test_what_may_not_be_asked(asked):
    with pytest.raises(BadInput):
        asked_of(asked, "x")


@pytest.mark.slow
def test_sqlite_needs_no_package_beside_python(shop):
    script = (
        "import sys; sys.modules['sqlalchemy'] = None\n"
        "from kitsolver import read_catalogue\n"
        f"print(len(read_catalogue('sqlite:///{shop}#goods')))"
    )
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert run.stdout == "1\n"


@pytest.mark.parametrize(
    ("module", "source", "command"),
    [
        ("pyarrow", "shop.parquet", "pip install 'kitsolver[parquet]'"),
        ("sqlalchemy", "postgresql://h/x#goods", "pip install 'kitsolver[databases]'"),
        ("psycopg", "postgresql+psycopg://h/x#goods", "pip install 'kitsolver[postgresql]'"),
        ("pymysql", "mysql+pymysql://h/x#goods", "pip install pymysql"),
    ],
)
@pytest.mark.slow
def test_a_missing_package_is_a_finding_that_names_the_command(module, source, command, tmp_path):
    (tmp_path / "shop.parquet").write_bytes(b"PAR1")
    script = (
        f"import sys; sys.modules[{module!r}] = None\n"
        "from kitsolver.cli import main\n"
        f"sys.argv = ['kitsolver', 'check', {source!r}]\nmain()"
    )
    run = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, cwd=tmp_path, check=False
    )
    assert run.returncode == 2, run.stderr
    assert f"hint: {command}" in run.stdout + run.stderr
