"""How much of a source is read at the most, and what is told where it holds more.

The bounds are a safeguard: a source beyond one of them is refused as a whole. Each is a key of
``[file]`` in a map of columns, and of the option ``--read``, so that who has more can raise it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from time import monotonic

from kitsolver.shop.findings import BadInput, Finding
from kitsolver.shop.sources.file_format import FileFormat
from kitsolver.shop.sources.header_names import HeaderNames
from kitsolver.shop.sources.source_findings import (
    LongCell,
    LongReading,
    LongRow,
    ManyColumns,
    ManyRows,
    MuchData,
)

# A row may have this many times the characters of a cell.
_CELLS_A_ROW = 64


@dataclass(frozen=True)
class Bounds:
    """The most that is read of one source.

    Parameters
    ----------
    most_rows : int
        Rows, the header and blank ones included.
    most_columns : int
        Columns of the header.
    most_cell : int
        Characters of one cell.
    most_bytes : int
        Bytes of the source, uncompressed.
    most_seconds : int
        Seconds that a workbook, a Parquet file or a database takes to be read.
    """

    most_rows: int = 5_000_000
    most_columns: int = 2_000
    most_cell: int = 1_000_000
    most_bytes: int = 2_000_000_000
    most_seconds: int = 60

    @property
    def most_row(self) -> int:
        """Characters of one row of a CSV file."""
        return _CELLS_A_ROW * self.most_cell


@dataclass
class Reading:
    """One source as it is read: what its bounds are held against.

    Parameters
    ----------
    name : str
        What findings call the source.
    bounds : Bounds
        The most that is read of it.
    format : FileFormat
        How it is written, as far as its map says so.
    header : HeaderNames
        By which names its header is known.
    passing : mapping of str to frozenset of str
        For a header the words of rows that the map passes over, both folded.
    """

    name: str
    bounds: Bounds
    format: FileFormat = field(default_factory=FileFormat)
    header: HeaderNames = field(default_factory=HeaderNames)
    passing: Mapping[str, frozenset[str]] = field(default_factory=dict)
    size: int = 0
    _until: float = field(init=False)

    def __post_init__(self) -> None:
        self._until = monotonic() + self.bounds.most_seconds

    @property
    def seconds_left(self) -> float:
        """The seconds that are left, below 0 where none are."""
        return self._until - monotonic()

    def check_time(self) -> None:
        """Refuse a source that takes too long.

        Raises
        ------
        BadInput
            If its time is over.
        """
        if self.seconds_left < 0:
            self.refuse_time()

    def refuse_time(self) -> None:
        """Refuse a source that takes too long.

        Raises
        ------
        BadInput
            Always.
        """
        self._refuse(LongReading, "most_seconds")

    def check_rows(self, row: int) -> None:
        """Refuse a source that has a row of this number, if that is too many.

        Raises
        ------
        BadInput
            If it is.
        """
        if row > self.bounds.most_rows:
            self._refuse(ManyRows, "most_rows")

    def check_columns(self, columns: int) -> None:
        """Refuse a source of so many columns, if they are too many.

        Raises
        ------
        BadInput
            If they are.
        """
        if columns > self.bounds.most_columns:
            self._refuse(ManyColumns, "most_columns")

    def check_cell(self, length: int, row: int, column: str | None = None) -> None:
        """Refuse a source with a cell of so many characters, if they are too many.

        Raises
        ------
        BadInput
            If they are.
        """
        if length > self.bounds.most_cell:
            self.refuse_cell(row, column)

    def refuse_cell(self, row: int, column: str | None = None) -> None:
        """Refuse a source with a cell that is too long.

        Raises
        ------
        BadInput
            Always.
        """
        self._refuse(LongCell, "most_cell", row, column)

    def check_row(self, length: int, row: int | None = None) -> None:
        """Refuse a source with a row of so many characters, if they are too many.

        Raises
        ------
        BadInput
            If they are.
        """
        if length > self.bounds.most_row:
            raise BadInput(
                [
                    LongRow(
                        file=self.name,
                        row=row,
                        value=f"{self.bounds.most_row:,}",
                        detail=_raised("most_cell", 2 * self.bounds.most_cell),
                    )
                ]
            )

    def check_size(self, size: int) -> None:
        """Refuse a source of so many bytes, if they are too many.

        Raises
        ------
        BadInput
            If they are.
        """
        if size > self.bounds.most_bytes:
            self._refuse(MuchData, "most_bytes")

    def add_size(self, size: int) -> None:
        """Count some more bytes of the source.

        Raises
        ------
        BadInput
            If they are too many by now.
        """
        self.size += size
        self.check_size(self.size)

    def _refuse(
        self, kind: type[Finding], key: str, row: int | None = None, column: str | None = None
    ) -> None:
        most: int = getattr(self.bounds, key)
        detail = _raised(key, 2 * most)
        raise BadInput(
            [kind(file=self.name, row=row, column=column, value=f"{most:,}", detail=detail)]
        )


def _raised(key: str, most: int) -> str:
    """Return what raises a bound: the option, and the same in a map."""
    return f"give --read {key}={most}, or write {key} = {most} in [file] of a map of columns"
