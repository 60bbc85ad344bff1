"""Tables as CSV (RFC 4180), harmless to a spreadsheet."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable

Cell = str | int | float | None

# A spreadsheet takes a cell that begins so for a formula (OWASP, CSV injection).
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")
_NUMBER = re.compile(r"[+-]?[0-9]+([.,][0-9]+)?")


def csv_text(header: Iterable[str], rows: Iterable[Iterable[Cell]]) -> str:
    """Return a table as CSV; None is a blank cell."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    for row in (header, *rows):
        writer.writerow([_plain(cell) if isinstance(cell, str) else cell for cell in row])
    return text.getvalue()


def _plain(cell: str) -> str:
    """Return a text cell that no spreadsheet takes for a formula; numbers stay numbers."""
    harmless = not cell.startswith(_FORMULA) or _NUMBER.fullmatch(cell)
    return cell if harmless else f"'{cell}"
