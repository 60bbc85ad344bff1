"""A table or a query of a database server as a source, in a transaction that reads only."""

from __future__ import annotations

from collections.abc import Generator
from contextlib import closing
from typing import Any

from kitsolver.shop.findings import BadInput, first_line
from kitsolver.shop.packages import needed, package_missing
from kitsolver.shop.sources.bounds import Reading
from kitsolver.shop.sources.postgresql_dates import read_endless_dates
from kitsolver.shop.sources.records import Records
from kitsolver.shop.sources.source_address import SourceAddress
from kitsolver.shop.sources.source_findings import NoAnswer, NotAnAddress, NotReadOnly, UnknownTable
from kitsolver.shop.sources.sql_query import Table, asked_of
from kitsolver.shop.sources.table_records import Row, table_records

# How each kind of server begins a transaction that cannot write. A kind that knows none is
# refused. {milliseconds} are those left for reading.
_READ_ONLY = {
    "postgresql": (
        "SET TRANSACTION READ ONLY",
        "SET LOCAL statement_timeout = {milliseconds}",
    ),
    "mysql": ("START TRANSACTION READ ONLY",),
    "mariadb": ("START TRANSACTION READ ONLY",),
    "oracle": ("SET TRANSACTION READ ONLY",),
}
# What installs the driver of each kind; others are named by their module.
_DRIVERS = {"psycopg": "'kitsolver[postgresql]'"}
_ROWS_AT_ONCE = 1000


def takes(address: SourceAddress) -> bool:
    """Tell whether an address is that of a database."""
    return address.is_database


def read(address: SourceAddress, reading: Reading) -> Records:
    """Read a table in the order of its primary key, or what a query gives.

    Raises
    ------
    BadInput
        If the database does not answer, cannot be opened for reading only, or gives more than a
        bound, or a package for it is missing.
    """
    asked = asked_of(address.asked, reading.name)
    sqlalchemy = needed("sqlalchemy", "databases", reading.name)
    url = _url(address, reading.name)
    try:
        engine = sqlalchemy.create_engine(url, poolclass=sqlalchemy.NullPool)
        with engine.connect() as connection:
            for statement in _READ_ONLY[url.get_backend_name()]:
                left = max(1, int(1000 * reading.seconds_left))
                connection.execute(sqlalchemy.text(statement.format(milliseconds=left)))
            read_endless_dates(connection)
            # The server's cursor is closed before its connection, however the reading ends.
            with closing(_rows(connection, asked, reading)) as rows:
                return table_records(rows, reading)
    except ImportError as fault:
        install = _DRIVERS.get(fault.name or "", fault.name or str(fault))
        raise BadInput([package_missing(fault, install, reading.name)]) from None
    except (BadInput, KeyboardInterrupt):
        raise
    except Exception as fault:
        # Drivers raise errors of their own, and Python's for parameters that they do not know.
        reading.check_time()
        told = address.scrub(first_line(getattr(fault, "orig", None) or fault))
        detail = told or "the driver's message is not shown, for it may hold the password"
        raise BadInput([NoAnswer(file=reading.name, detail=detail)]) from None


def _url(address: SourceAddress, name: str) -> Any:
    """Return the address as SQLAlchemy has it, of a kind that can be opened for reading only."""
    from sqlalchemy import make_url
    from sqlalchemy.exc import ArgumentError

    # Signs that are not quoted would send a piece of the password elsewhere.
    if address.location.count("@") > 1 or "@" in address.asked.partition(" ")[0]:
        raise BadInput([NotAnAddress(file=name)])
    try:
        url = make_url(address.location)
        kind = url.get_backend_name()
    except (ArgumentError, ValueError):
        raise BadInput([NotAnAddress(file=name)]) from None
    if kind not in _READ_ONLY:
        known = ", ".join(["sqlite", *_READ_ONLY])
        raise BadInput([NotReadOnly(file=name, value=kind, detail=known)])
    return url


def _rows(connection: Any, asked: Table | str, reading: Reading) -> Generator[Row]:
    """Yield the names of the columns, and then number and values of each row."""
    import sqlalchemy

    if isinstance(asked, Table):
        query = _select(connection, asked, reading.name)
    else:
        # In a user's query a colon does not name a parameter.
        query = sqlalchemy.text(asked.replace(":", "\\:"))
    options = {"stream_results": True, "max_row_buffer": _ROWS_AT_ONCE}
    with closing(connection.execute(query, execution_options=options)) as answer:
        yield 0, tuple(answer.keys())
        yield from enumerate(answer, start=1)


def _select(connection: Any, table: Table, name: str) -> Any:
    """Return the query for all of a table, in an order that is the same every time."""
    import sqlalchemy

    inspector = sqlalchemy.inspect(connection)
    if not inspector.has_table(table.name, schema=table.schema):
        raise BadInput([UnknownTable(file=name)])
    key = inspector.get_pk_constraint(table.name, schema=table.schema)["constrained_columns"]
    goods = sqlalchemy.table(table.name, schema=table.schema)
    return (
        sqlalchemy.select(sqlalchemy.text("*"))
        .select_from(goods)
        .order_by(*(sqlalchemy.column(column) for column in key))
    )
