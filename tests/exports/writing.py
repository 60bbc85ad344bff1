"""Writes exports in the ways that shops' programs write them."""

import contextlib
import csv
import io
import sqlite3
from pathlib import Path

FILES = Path(__file__).parent / "files"


def text_of(rows, delimiter, ends="\r\n"):
    """Return rows as delimited text."""
    text = io.StringIO()
    csv.writer(text, delimiter=delimiter, lineterminator=ends).writerows(rows)
    return text.getvalue()


def write_text(name, rows, delimiter, encoding):
    """Write rows as a text file."""
    (FILES / name).write_bytes(text_of(rows, delimiter).encode(encoding))


def write_workbook(name, rows, sheet):
    """Write rows as a workbook."""
    from openpyxl import Workbook

    book = Workbook()
    page = book.active
    page.title = sheet
    for row in rows:
        page.append(row)
    book.save(FILES / name)


def write_sql(name, table, header, rows):
    """Write a table as the SQL that makes it."""
    with contextlib.closing(sqlite3.connect(":memory:")) as database:
        names = ", ".join(f'"{column}"' for column in header)
        database.execute(f'CREATE TABLE "{table}" ({names})')
        marks = ", ".join("?" * len(header))
        database.executemany(f'INSERT INTO "{table}" VALUES ({marks})', rows)
        (FILES / name).write_text("\n".join(database.iterdump()) + "\n", encoding="utf-8")


def comma(number, places=2):
    """Return a number with a decimal comma."""
    return f"{number:.{places}f}".replace(".", ",")


def filled(value, *when):
    """Return a value where the goods have it, else a blank."""
    return value if all(when) else ""
