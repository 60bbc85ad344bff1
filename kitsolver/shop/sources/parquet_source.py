"""A Parquet file as a source."""

from __future__ import annotations

from collections.abc import Iterator
from typing import IO, Any

from kitsolver.shop.findings import BadInput, first_line
from kitsolver.shop.packages import needed
from kitsolver.shop.sources.bounds import Reading
from kitsolver.shop.sources.records import Records
from kitsolver.shop.sources.source_findings import UnreadableParquet
from kitsolver.shop.sources.table_records import Row, UnreadableValue, table_records

# Rows that are unpacked at a time: few, for a cell may repeat a long text in few bytes.
_BATCH = 1024


def recognises(file: IO[bytes]) -> bool:
    """Tell whether a file is a Parquet file, by its bytes."""
    begin = file.read(4)
    file.seek(0)
    return begin == b"PAR1"


def read(file: IO[bytes], _asked: str, reading: Reading) -> Records:
    """Read a Parquet file; its first record is row 1.

    Raises
    ------
    BadInput
        If it cannot be read or is beyond a bound, or the package for it is missing.
    """
    needed("pyarrow.parquet", "parquet", reading.name)
    try:
        return table_records(_rows(file, reading), reading)
    except (BadInput, KeyboardInterrupt):
        raise
    except Exception as fault:
        # A damaged file makes the library raise errors of its own, and Python's.
        found = UnreadableParquet(file=reading.name, detail=first_line(fault))
        raise BadInput([found]) from None


def _rows(file: IO[bytes], reading: Reading) -> Iterator[Row]:
    """Yield the names of the columns, and then number and values of each record."""
    from pyarrow.parquet import ParquetFile

    parquet = ParquetFile(file)
    metadata = parquet.metadata
    reading.check_rows(metadata.num_rows)
    reading.check_columns(metadata.num_columns)
    groups = (metadata.row_group(place) for place in range(metadata.num_row_groups))
    reading.check_size(sum(group.total_byte_size for group in groups))
    yield 0, parquet.schema_arrow.names
    number = 0
    for batch in parquet.iter_batches(batch_size=_BATCH, use_threads=False):
        reading.check_time()
        columns = [_values(column) for column in batch.columns]
        for values in zip(*columns, strict=True):
            number += 1
            yield number, values


def _values(column: Any) -> list[Any]:
    """Return the values of a column, and which of them cannot be read."""
    try:
        values: list[Any] = column.to_pylist()
    except (ValueError, OverflowError, ArithmeticError):
        # Arrow's own errors are ValueErrors too.
        values = [_value(cell) for cell in column]
    return values


def _value(cell: Any) -> Any:
    try:
        return cell.as_py()
    except (ValueError, OverflowError, ArithmeticError) as fault:
        return UnreadableValue(_shown(cell), first_line(fault))


def _shown(cell: Any) -> str:
    """Return a cell as far as it can be shown: a time as its number, a text by its bytes."""
    if (buffer := getattr(cell, "as_buffer", None)) is not None:
        return repr(buffer().to_pybytes()[:120])[2:-1]
    return str(getattr(cell, "value", ""))
