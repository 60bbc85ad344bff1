"""A table or a query of an SQLite database as a source, opened for reading only."""

from __future__ import annotations

import sqlite3
import stat
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from urllib.parse import quote

from kitsolver.shop.findings import BadInput, first_line
from kitsolver.shop.sources.bounds import Reading
from kitsolver.shop.sources.file_findings import FileIsFolder, FileMissing
from kitsolver.shop.sources.files import unreadable
from kitsolver.shop.sources.records import Records
from kitsolver.shop.sources.source_address import SourceAddress
from kitsolver.shop.sources.source_findings import NoAnswer, NotAnAddress, UnknownTable
from kitsolver.shop.sources.sql_query import Table, asked_of
from kitsolver.shop.sources.table_records import Row, table_records

_SCHEMES = ("sqlite:///", "sqlite+pysqlite:///")
# What a SELECT does. Other actions of a statement, such as ATTACH, PRAGMA or a write, are
# refused. (The first three have no name in Python before 3.11's module.)
_ALLOWED = {
    sqlite3.SQLITE_SELECT,
    sqlite3.SQLITE_READ,
    sqlite3.SQLITE_FUNCTION,
    sqlite3.SQLITE_RECURSIVE,
}
# Steps of SQLite's virtual machine between two checks of the time limit.
_STEPS = 100_000


def takes(address: SourceAddress) -> bool:
    """Tell whether an address is that of an SQLite database."""
    return address.is_database and address.location.lower().startswith(("sqlite:", "sqlite+"))


def read(address: SourceAddress, reading: Reading) -> Records:
    """Read a table in the order of its primary key, or what a query gives.

    The file is neither created nor written to. Of a database in WAL mode SQLite itself may make
    the two files beside it that its readers share.

    Raises
    ------
    BadInput
        If it cannot be read, or is beyond a bound.
    """
    asked = asked_of(address.asked, reading.name)
    path = _path(address, reading.name)
    try:
        with closing(_connected(path)) as connection:
            return table_records(_rows(connection, asked, reading), reading)
    except (sqlite3.Error, sqlite3.Warning, UnicodeError, OverflowError, MemoryError) as fault:
        reading.check_time()
        detail = first_line(fault)
        raise BadInput([NoAnswer(file=reading.name, detail=detail)]) from None


def _path(address: SourceAddress, name: str) -> Path:
    """Return the path of the file, which must be there."""
    scheme = next((each for each in _SCHEMES if address.location.startswith(each)), "")
    text = address.location.removeprefix(scheme)
    if not scheme or not text or "?" in text or text.startswith((":", "file:")):
        raise BadInput([NotAnAddress(file=name)])
    path = Path(text)
    try:
        kind = path.stat().st_mode
    except ValueError:
        # A character that no path can hold.
        raise BadInput([FileMissing(file=name)]) from None
    except OSError as fault:
        raise BadInput([unreadable(fault, name)]) from None
    if stat.S_ISDIR(kind):
        raise BadInput([FileIsFolder(file=name)])
    return path


def _connected(path: Path) -> sqlite3.Connection:
    """Return a connection that reads only."""
    address = f"file:{quote(bytes(path.absolute()))}?mode=ro"
    connection = sqlite3.connect(address, uri=True)
    try:
        connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()
    except sqlite3.Error as fault:
        connection.close()
        sealed = isinstance(fault, sqlite3.OperationalError)
        if not sealed or path.with_name(f"{path.name}-wal").exists():
            raise
        # In a folder that cannot be written to, a database in WAL mode lacks the files that its
        # readers share. Without such a file nobody writes to it, so none are needed.
        connection = sqlite3.connect(f"{address}&immutable=1", uri=True)
    # Bytes that are no text become one finding a cell, not the end of the reading.
    connection.text_factory = lambda raw: raw.decode("utf-8", "surrogateescape")
    return connection


def _rows(connection: sqlite3.Connection, asked: Table | str, reading: Reading) -> Iterator[Row]:
    """Yield the names of the columns, and then number and values of each row."""
    query = _select(connection, asked, reading.name) if isinstance(asked, Table) else asked
    connection.set_authorizer(
        lambda action, *_: sqlite3.SQLITE_OK if action in _ALLOWED else sqlite3.SQLITE_DENY
    )
    connection.set_progress_handler(lambda: reading.seconds_left < 0, _STEPS)
    cursor = connection.execute(query)
    yield 0, [column[0] for column in cursor.description]
    yield from enumerate(cursor, start=1)


def _select(connection: sqlite3.Connection, table: Table, name: str) -> str:
    """Return the query for all of a table, in an order that is the same every time."""
    schema = table.schema or "main"
    key = "SELECT name, pk FROM pragma_table_info(?, ?) ORDER BY pk"
    columns = connection.execute(key, (table.name, schema)).fetchall()
    if not columns:
        raise BadInput([UnknownTable(file=name)])
    order = ", ".join(_quoted(column) for column, place in columns if place)
    ordered = f" ORDER BY {order}" if order else ""
    return f"SELECT * FROM {_quoted(schema)}.{_quoted(table.name)}{ordered}"


def _quoted(name: str) -> str:
    return '"' + name.replace('"', '""') + '"'
