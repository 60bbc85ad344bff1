"""Reads one sheet of a spreadsheet in a process of its own, for `spreadsheet_source`.

The library lays a sheet out in memory as a whole, and ends its process if there is too little. So
it works here, where that ends nothing else, and where it can be stopped.
"""

from __future__ import annotations

import io
import pickle
import sys
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Any

# The most memory that the process may take, in bytes.
_MOST_MEMORY = 4 << 30


@dataclass
class Sheet:
    """What was read.

    Parameters
    ----------
    names : list of str
        Of all sheets.
    height, width : int
        Of the sheet that was asked for, or of the first one, blank margins included.
    rows : list of list
        Its values, blank cells as ``""``; none where it is larger than was asked for.
    fault : str
        What the library says is wrong, if it cannot be read.
    """

    names: list[str] = field(default_factory=list)
    height: int = 0
    width: int = 0
    rows: list[list[Any]] = field(default_factory=list)
    fault: str = ""


def read_sheet(content: bytes, asked: str, most_rows: int, most_columns: int) -> Sheet:
    """Return a sheet of a spreadsheet, the first one if none is asked for."""
    import python_calamine

    found = Sheet()
    try:
        book = python_calamine.CalamineWorkbook.from_filelike(io.BytesIO(content))
        found.names = list(book.sheet_names)
        name = asked or next(iter(found.names), "")
        if name in found.names:
            sheet = book.get_sheet_by_name(name)
            found.height, found.width = sheet.total_height, sheet.total_width
            if found.height <= most_rows and found.width <= most_columns:
                found.rows = [list(row) for row in sheet.iter_rows()]
    except Exception as fault:
        # A damaged file makes the library raise errors of its own, and Python's.
        found.fault = str(fault) or type(fault).__name__
    return found


def _limit_memory() -> None:
    with suppress(ImportError, ValueError, OSError):
        # Not every system has it.
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (_MOST_MEMORY, _MOST_MEMORY))


if __name__ == "__main__":
    _limit_memory()
    sheet = read_sheet(sys.stdin.buffer.read(), sys.argv[1], int(sys.argv[2]), int(sys.argv[3]))
    # As plain values: here the class belongs to another module than where it is read.
    pickle.dump(vars(sheet), sys.stdout.buffer)
