"""From rows of values, as workbooks, Parquet files and databases have them, to rows of text."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import chain, dropwhile, islice
from math import isnan
from typing import Any

import numpy as np

from kitsolver.shop.findings import BadInput, Finding
from kitsolver.shop.skipped import counted
from kitsolver.shop.sources import file_findings
from kitsolver.shop.sources.bounds import Reading
from kitsolver.shop.sources.ragged import Ragged
from kitsolver.shop.sources.records import Coded, Records
from kitsolver.shop.sources.source_findings import UnreadableCell

# A row's number in the source, and its values.
Row = tuple[int, Sequence[Any]]

_MOST_SHOWN = 120
# The header of a sheet is looked for in this many rows; a sample shows what most are like.
_MOST_ABOVE = 10_000
_SAMPLE = 100


@dataclass(frozen=True)
class UnreadableValue:
    """What a source has in a cell that it cannot read.

    Parameters
    ----------
    shown : str
        As far as it can be shown.
    why : str
        What is wrong with it.
    """

    shown: str
    why: str


class Digits(str):
    """The text of a cell that the source has as a number."""

    __slots__ = ()


# A row's number, and its cells as text.
FilledRow = tuple[int, list[str | UnreadableValue]]


def table_records(rows: Iterable[Row], reading: Reading, *, find_header: bool = False) -> Records:
    """Return rows of values as rows of text, each with its own number.

    Parameters
    ----------
    rows : iterable of (int, sequence)
        The first that is not blank is the header, unless it is to be found. Further blank rows
        are passed over.
    reading : Reading
        The source's name, its bounds, its format as far as a map says it, and the names of its
        header.
    find_header : bool
        Whether rows may stand above the header.

    Raises
    ------
    BadInput
        If there is no header, or the rows are beyond a bound.
    """
    filled = _filled(rows, reading)
    if find_header:
        filled = _from_header(filled, reading)
    header = next(filled, None)
    if header is None:
        raise BadInput([file_findings.EmptyFile(file=reading.name)])
    header_row, cells = header
    names = [cell if isinstance(cell, str) else cell.shown for cell in cells]
    while names and not names[-1]:
        names.pop()
    width = len(names)
    reading.check_columns(width)
    ragged = Ragged(names, reading)
    findings = list[Finding]()
    numbers, texts = list[int](), list[list[str]]()
    for number, row in filled:
        if len(row) > width and any(row[width:]):
            if found := ragged.judge(number, list(map(str, row))):
                findings.append(found)
            continue
        if unreadable := [
            UnreadableCell(
                file=reading.name, row=number, column=name, value=cell.shown, detail=cell.why
            )
            for name, cell in zip(names, row, strict=False)
            if isinstance(cell, UnreadableValue)
        ]:
            findings += unreadable
            continue
        numbers.append(number)
        texts.append([*islice(row, width), *[""] * (width - len(row))])  # type: ignore[list-item]
    columns: dict[str, Coded] = {}
    for place, column in enumerate(names):
        if column not in columns:
            held = np.empty(len(texts), dtype=object)
            held[:] = [row[place] for row in texts]
            typed = frozenset(str(text) for text in held if isinstance(text, Digits))
            columns[column] = replace(Coded.of(held), typed=typed)
    return Records(
        header=tuple(names),
        header_row=header_row,
        rows=np.array(numbers, dtype=np.int64),
        columns=columns,
        findings=tuple(findings),
        skipped=counted("passed over", [""] * ragged.passed),
    )


def _from_header(filled: Iterator[FilledRow], reading: Reading) -> Iterator[FilledRow]:
    """Return the rows from the header on: the row that the map names, or the first fitting one.

    If none fits, the first of the rows that have most cells among the first ones is taken.
    """
    asked = reading.format.header_row
    if asked is not None:
        rest = dropwhile(lambda row: row[0] < asked, filled)
        header = next(rest, None)
        if header is None or header[0] != asked:
            raise BadInput([file_findings.HeaderRowMissing(file=reading.name, value=str(asked))])
        return chain([header], rest)
    if reading.header.by_shape is not None:
        first = list(islice(filled, _SAMPLE))
        start = reading.header.by_shape([list(map(str, row)) for _, row in first])
        return chain(first[start:], filled)
    first = list[FilledRow]()
    for row in islice(filled, _MOST_ABOVE):
        if reading.header.is_header(map(str, row[1])):
            return chain([row], filled)
        first.append(row)
    widths = [sum(map(bool, row)) for _, row in first[:_SAMPLE]]
    start = widths.index(max(widths)) if widths else 0
    return chain(first[start:], filled)


def _filled(rows: Iterable[Row], reading: Reading) -> Iterator[FilledRow]:
    """Yield the rows that are not blank as text, as long as they are within the bounds."""
    for number, values in rows:
        reading.check_time()
        reading.check_rows(number)
        row = [_text(value) for value in values]
        if any(row):
            for cell in row:
                length = len(cell) if isinstance(cell, str) else 0
                reading.check_cell(length, number)
                reading.add_size(length)
            yield number, row


def _text(value: Any) -> str | UnreadableValue:
    """Return a value as a CSV file would have it: numbers by their shortest decimal."""
    match value:
        case None:
            return ""
        case str():
            return _encodable(value)
        case UnreadableValue():
            return value
        case bool():
            return "true" if value else "false"
        case float():
            if isnan(value):
                return ""
            return Digits(_digits(Decimal(repr(value))))
        case Decimal():
            return Digits(_digits(value))
        case int():
            return Digits(value)
        case bytes() | bytearray() | memoryview():
            return _encodable(bytes(value).decode("utf-8", "surrogateescape"))
    try:
        return _encodable(str(value))
    except ValueError as fault:
        return UnreadableValue(type(value).__name__, str(fault))


def _encodable(text: str) -> str | UnreadableValue:
    """Return a text without what surrounds it, unless some of its bytes are no text."""
    try:
        text.encode()
    except UnicodeEncodeError:
        shown = text.encode("utf-8", "surrogateescape" if _escaped(text) else "surrogatepass")
        return UnreadableValue(repr(shown[:_MOST_SHOWN])[2:-1], "it holds bytes that are no text")
    return text.strip()


def _escaped(text: str) -> bool:
    """Tell whether all surrogates of a text stand for single bytes."""
    return all(not "\ud800" <= sign <= "\udfff" or "\udc80" <= sign <= "\udcff" for sign in text)


def _digits(number: Decimal) -> str:
    """Return a number in plain digits, without what a column of decimals adds behind it."""
    if number.is_nan():
        return ""
    text = format(number, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text
