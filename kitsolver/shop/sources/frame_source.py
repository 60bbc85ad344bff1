"""A table in memory as a source: pandas, or whatever has the dataframe interchange protocol."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, Protocol

from kitsolver.shop.findings import BadInput, first_line
from kitsolver.shop.sources.bounds import Reading
from kitsolver.shop.sources.records import Records
from kitsolver.shop.sources.source_findings import UnreadableFrame
from kitsolver.shop.sources.table_records import Row, table_records

# What findings call a table that has no name.
NAME = "the table"


class Frame(Protocol):
    """A table of any library that has the dataframe interchange protocol."""

    def __dataframe__(self, nan_as_null: bool = False, allow_copy: bool = True) -> Any:
        """Return the table as the protocol describes it."""


if TYPE_CHECKING:
    import pandas as pd

    # pandas is named because its types do not declare the protocol.
    Table = pd.DataFrame | Frame


def read(frame: Table, reading: Reading) -> Records:
    """Read a table; its first record is row 1.

    Raises
    ------
    BadInput
        If it cannot be read or is beyond a bound.
    """
    try:
        table = _as_pandas(frame)
    except Exception as fault:
        # A library of any kind is behind the protocol, and each raises errors of its own.
        found = UnreadableFrame(file=reading.name, detail=first_line(fault))
        raise BadInput([found]) from None
    reading.check_rows(len(table))
    reading.check_columns(len(table.columns))
    return table_records(_rows(table), reading)


def _as_pandas(frame: Table) -> pd.DataFrame:
    import pandas as pd

    if isinstance(frame, pd.DataFrame):
        return frame
    from pandas.api.interchange import from_dataframe

    with warnings.catch_warnings():
        # pandas means to drop the protocol some day; until then it is what every library has.
        warnings.simplefilter("ignore", DeprecationWarning)
        return from_dataframe(frame)


def _rows(table: pd.DataFrame) -> Iterator[Row]:
    """Yield the names of the columns, and then number and values of each record."""
    yield 0, [str(name) for name in table.columns]
    columns = [_values(table.iloc[:, place]) for place in range(len(table.columns))]
    yield from enumerate(zip(*columns, strict=True), 1)


def _values(column: pd.Series[Any]) -> list[Any]:
    """Return the values of a column, with None for what is missing."""
    missing = column.isna().tolist()
    if str(column.dtype).lower() in ("float16", "float32"):
        # A number of few digits is shown with these, and not with all that a double has.
        values: list[Any] = [float(str(value)) for value in column.to_numpy()]
    else:
        values = column.astype(object).tolist()
    return [None if gone else value for value, gone in zip(values, missing, strict=True)]
