"""Catalogues that are no CSV: workbooks, Parquet files, and what a database answers."""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from itertools import islice
from math import isnan
from pathlib import Path
from typing import Any

import numpy as np

from kitsolver.shop import catalogue_findings, source_findings
from kitsolver.shop.findings import BadInput, nearest
from kitsolver.shop.records import Coded, Records
from kitsolver.shop.source_address import SourceAddress

# What a database is asked for stands behind its address: a table's name, or a query.
_TABLE = re.compile(r"(?:(?P<schema>\w+)\.)?(?P<table>\w+)")
_MOST_DETAIL = 200

Row = tuple[int, Sequence[Any]]


def is_database(source: str) -> bool:
    """Tell whether a source is the address of a database."""
    return "://" in source


def shown(source: str) -> str:
    """Return what findings call a source: an address without its password."""
    return str(SourceAddress(source))


def table_records(source: str, name: str) -> Records | None:
    """Return the rows of a workbook, a Parquet file or a database; None of anything else.

    Parameters
    ----------
    source : str
        A path that ends in ``.xlsx`` (``#`` and a sheet's name may follow) or ``.parquet``, or
        the address of a database with ``#`` and a table's name or a query.
    name : str
        What findings call it.

    Raises
    ------
    BadInput
        If it cannot be read.
    """
    if is_database(source):
        return _records(name, *_of_database(source, name))
    path, _, sheet = source.partition("#")
    match Path(path).suffix.lower():
        case ".xlsx":
            return _records(name, *_of_workbook(Path(path), sheet, name))
        case ".parquet":
            return _records(name, *_of_parquet(Path(source), name))
    return None


def _of_workbook(path: Path, sheet: str, name: str) -> tuple[Row, Iterator[Row]]:
    from openpyxl import load_workbook

    _must_be_there(path, name)
    try:
        book = load_workbook(io.BytesIO(path.read_bytes()), read_only=True, data_only=True)
    except Exception as fault:
        raise BadInput(
            [source_findings.UnreadableWorkbook(file=name, detail=_told(fault))]
        ) from None
    if sheet and sheet not in book.sheetnames:
        found = source_findings.UnknownSheet(
            file=name, value=sheet, detail=nearest(sheet, book.sheetnames)
        )
        raise BadInput([found])
    page = book[sheet] if sheet else book.worksheets[0]
    rows = enumerate(page.iter_rows(values_only=True), start=1)
    filled = ((number, cells) for number, cells in rows if any(map(_text, cells)))
    header = next(filled, None)
    if header is None:
        raise BadInput([catalogue_findings.EmptyFile(file=name)])
    return header, filled


def _of_parquet(path: Path, name: str) -> tuple[Row, Iterator[Row]]:
    import pyarrow.parquet

    _must_be_there(path, name)
    try:
        table = pyarrow.parquet.read_table(path)
    except (OSError, ValueError) as fault:
        raise BadInput(
            [source_findings.UnreadableParquet(file=name, detail=_told(fault))]
        ) from None
    columns = [table.column(place).to_pylist() for place in range(table.num_columns)]
    return (0, table.column_names), enumerate(zip(*columns, strict=True), start=1)


def _of_database(source: str, name: str) -> tuple[Row, Iterator[Row]]:
    import sqlalchemy
    from sqlalchemy.exc import NoSuchTableError, SQLAlchemyError

    address, _, asked = source.partition("#")
    url = _url(address, name)
    if not asked.strip():
        raise BadInput([source_findings.NothingAsked(file=name)])
    table = _TABLE.fullmatch(asked.strip())
    try:
        engine = sqlalchemy.create_engine(url, poolclass=sqlalchemy.NullPool)
        with engine.connect() as connection:
            query: Any = sqlalchemy.text(asked)
            if table:
                goods = sqlalchemy.Table(
                    table["table"],
                    sqlalchemy.MetaData(),
                    schema=table["schema"],
                    autoload_with=connection,
                )
                # In an order of its own, so that rows have the same numbers every time.
                query = sqlalchemy.select(goods).order_by(*goods.primary_key.columns)
            answer = connection.execute(query)
            header, rows = tuple(answer.keys()), answer.fetchall()
    except NoSuchTableError:
        found = source_findings.UnknownTable(file=name)
        raise BadInput([found]) from None
    except (SQLAlchemyError, ImportError, OSError) as fault:
        told = SourceAddress(source).scrub(_told(getattr(fault, "orig", None) or fault))
        raise BadInput([source_findings.NoAnswer(file=name, detail=told)]) from None
    return (0, header), enumerate(rows, start=1)


def _url(address: str, name: str) -> Any:
    from sqlalchemy import make_url
    from sqlalchemy.exc import ArgumentError

    try:
        return make_url(address)
    except (ArgumentError, ValueError):
        raise BadInput([source_findings.NotAnAddress(file=name)]) from None


def _must_be_there(path: Path, name: str) -> None:
    if path.is_dir():
        raise BadInput([catalogue_findings.FileIsFolder(file=name)])
    if not path.exists():
        raise BadInput([catalogue_findings.FileMissing(file=name)])


def _records(name: str, header: Row, rows: Iterable[Row]) -> Records:
    """Return rows of values as rows of text, each with its own number."""
    header_row, cells = header
    names = [_text(cell) for cell in cells]
    while names and not names[-1]:
        names.pop()
    width = len(names)
    findings, numbers, texts = [], [], list[list[str]]()
    for number, values in rows:
        row = [_text(value) for value in values]
        if len(row) > width and any(row[width:]):
            detail = f"{len(row)} cells, and the header has {width}"
            findings.append(catalogue_findings.TooManyCells(file=name, row=number, detail=detail))
            continue
        numbers.append(number)
        texts.append([*islice(row, width), *[""] * (width - len(row))])
    columns: dict[str, Coded] = {}
    for place, column in enumerate(names):
        if column not in columns:
            held = np.empty(len(texts), dtype=object)
            held[:] = [row[place] for row in texts]
            columns[column] = Coded.of(held)
    return Records(
        header=tuple(names),
        header_row=header_row,
        rows=np.array(numbers, dtype=np.int64),
        columns=columns,
        findings=tuple(findings),
    )


def _text(value: Any) -> str:
    """Return a value as a CSV file would have it: numbers by their shortest decimal."""
    match value:
        case None:
            return ""
        case str():
            return value.strip()
        case bool():
            return "true" if value else "false"
        case float():
            if isnan(value):
                return ""
            return _digits(Decimal(repr(value)))
        case Decimal():
            return _digits(value)
    return str(value)


def _digits(number: Decimal) -> str:
    """Return a number in plain digits, without what a column of decimals adds behind it."""
    text = format(number, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def _told(fault: BaseException) -> str:
    """Return the first line of what a library says."""
    lines = str(fault).strip().splitlines() or [type(fault).__name__]
    return lines[0][:_MOST_DETAIL].rstrip(".")
