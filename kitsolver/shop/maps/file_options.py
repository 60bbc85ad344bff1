"""The table ``[file]`` of a map: how a source is written, and how much of it is read."""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from kitsolver.shop.sources.bounds import Bounds
from kitsolver.shop.sources.encodings import is_encoding
from kitsolver.shop.sources.file_format import DELIMITERS, FileFormat

Most = Annotated[int, Field(strict=True, ge=1, le=10**15)]
_USUAL = Bounds()
_WORDS = {"comma": ",", "semicolon": ";", "tab": "\t", "bar": "|"}


def _encoding(name: str) -> str:
    if not is_encoding(name):
        raise ValueError("write utf-8, utf-16, windows-1252 or iso-8859-15")
    return name


def _delimiter(written: str) -> str:
    found = _WORDS.get(written.casefold(), written)
    usable = len(found) == 1 and found.isascii() and (found.isprintable() or found in DELIMITERS)
    if not usable or found.isalnum() or found in "\"#. '":
        raise ValueError(f"write {', '.join(_WORDS)}, or the character itself")
    return found


class FileOptions(BaseModel):
    """How a source is written where what is found out is wrong, and how much of it is read.

    Parameters
    ----------
    encoding : str, optional
        Of a CSV file: UTF-8, UTF-16, or any encoding with one byte for each character.
    delimiter : str, optional
        Of a CSV file: comma, semicolon, tab, bar, or another character.
    sheet : str, optional
        Of a workbook or another spreadsheet.
    header_row : int, optional
        The row that names the columns, as the file numbers its rows.
    most_rows, most_columns, most_cell, most_bytes, most_seconds : int
        As `Bounds` has them.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    encoding: Annotated[str, AfterValidator(_encoding)] | None = None
    delimiter: Annotated[str, AfterValidator(_delimiter)] | None = None
    sheet: Annotated[str, Field(min_length=1)] | None = None
    header_row: Most | None = None
    most_rows: Most = _USUAL.most_rows
    most_columns: Most = _USUAL.most_columns
    most_cell: Most = _USUAL.most_cell
    most_bytes: Most = _USUAL.most_bytes
    most_seconds: Most = _USUAL.most_seconds

    @property
    def bounds(self) -> Bounds:
        """The bounds that these keys set."""
        return Bounds(**{name: getattr(self, name) for name in Bounds.__dataclass_fields__})

    @property
    def format(self) -> FileFormat:
        """How the source is written, as far as these keys say."""
        return FileFormat(**{name: getattr(self, name) for name in FileFormat.__dataclass_fields__})
