"""Tables as CSV (RFC 4180) in which no cell is a formula."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable

Cell = str | int | float | None

# Spreadsheets read a cell that begins with one of these as a formula (OWASP, CSV injection).
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")
_NUMBER = re.compile(r"[+-]?[0-9]+([.,][0-9]+)?")


def csv_text(header: Iterable[str], rows: Iterable[Iterable[Cell]], *, delimiter: str = ",") -> str:
    """Return a table as CSV; None is a blank cell."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, delimiter=delimiter, lineterminator="\r\n")
    for row in (header, *rows):
        writer.writerow([_no_formula(cell) if isinstance(cell, str) else cell for cell in row])
    return text.getvalue()


def _no_formula(cell: str) -> str:
    """Return a cell as it is, or with a leading ``'`` if a spreadsheet would compute it."""
    harmless = not cell.startswith(_FORMULA) or _NUMBER.fullmatch(cell)
    return cell if harmless else f"'{cell}"
