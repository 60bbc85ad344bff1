"""How a file is written: as a map says, or as it was found out."""

from __future__ import annotations

from dataclasses import dataclass

DELIMITERS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "vertical bars"}


@dataclass(frozen=True)
class FileFormat:
    """How a file is written, as far as it is known.

    Parameters
    ----------
    encoding : str, optional
        How the bytes of a CSV file are text, by a name that Python knows.
    delimiter : str, optional
        The character between the cells of a CSV file.
    sheet : str, optional
        The sheet of a workbook.
    header_row : int, optional
        The row that names the columns, as the file numbers its rows from 1.
    """

    encoding: str | None = None
    delimiter: str | None = None
    sheet: str | None = None
    header_row: int | None = None


def delimiter_words(delimiter: str) -> str:
    """Return what findings call a delimiter, for example ``semicolons``."""
    return DELIMITERS.get(delimiter, f"the character {delimiter}")


def header_words(row: int, *, first: bool) -> str:
    """Return how a note tells in which row the header is; `first` if it tells nothing before."""
    return f"with the header in row {row}" if first else f"header in row {row}"
