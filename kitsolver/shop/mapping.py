"""A map of columns: how a shop's own headers, numbers and categories become a catalogue's."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from typing import Annotated, Any, Literal

import numpy as np
import pandas as pd
from pydantic import BaseModel, ConfigDict, Field, ValidationError

from kitsolver.shop import source_findings
from kitsolver.shop.bounds import Bounds
from kitsolver.shop.columns import KNOWN, LEFT, NUMERIC
from kitsolver.shop.findings import BadInput, Finding, nearest
from kitsolver.shop.records import Coded, Records
from kitsolver.shop.toml_text import parse_toml, read_small

Most = Annotated[int, Field(strict=True, ge=1, le=10**15)]
Unit = Literal["mm", "cm", "m", "in"]
_MM: dict[str, Decimal] = {
    "mm": Decimal(1),
    "cm": Decimal(10),
    "m": Decimal(1000),
    "in": Decimal("25.4"),
}
_LENGTHS = {name: name.rpartition("_")[2] for name in sorted(KNOWN) if name[-3:] in ("_cm", "_in")}
_LENGTHS |= {"skein_m": "m", LEFT: "m"}
# With a decimal comma a point can only part thousands.
_WITH_COMMA = re.compile(r"(?P<whole>[0-9]{1,3}(?:\.[0-9]{3})+|[0-9]+)(?:,(?P<part>[0-9]+))?")
_NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+)?")


_USUAL = Bounds()


class FileOptions(BaseModel):
    """How much of a source is read at the most, each by the key of `Bounds`."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    most_rows: Most = _USUAL.most_rows
    most_columns: Most = _USUAL.most_columns
    most_cell: Most = _USUAL.most_cell
    most_bytes: Most = _USUAL.most_bytes
    most_seconds: Most = _USUAL.most_seconds

    @property
    def bounds(self) -> Bounds:
        """The bounds that these keys set."""
        return Bounds(**dict(self))


class ColumnMap(BaseModel):
    """How the headers and values of a source become those of a catalogue.

    Parameters
    ----------
    columns : dict of str to str
        For a catalogue's column the header that the source has for it.
    decimal_comma : bool
        Whether the source writes decimals after a comma.
    categories : dict of str to str
        For a category of the source the catalogue's.
    lengths : dict of str to str
        For a catalogue's column of lengths the unit (mm, cm, m, in) of the source's numbers.
    quality_most : Decimal, optional
        The best quality of the source's scale, for example 5 for stars; a catalogue's is 100.
    file : FileOptions
        How much of the source is read.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    columns: dict[str, str] = {}
    decimal_comma: bool = False
    categories: dict[str, str] = {}
    lengths: dict[str, Unit] = {}
    quality_most: Decimal | None = Field(None, gt=0)
    file: FileOptions = FileOptions()

    def place(self, finding: Finding) -> Finding:
        """Return the finding with the source's header as its column."""
        column = finding.column
        return replace(finding, column=self.columns.get(column, column)) if column else finding


def read_map(path: str | Path) -> ColumnMap:
    """Return the map of a TOML file.

    Raises
    ------
    BadInput
        With every finding.
    """
    file = str(path)
    try:
        data = parse_toml(read_small(path).decode("utf-8-sig"))
    except OSError as fault:
        detail = f"cannot be read: {(fault.strerror or 'unreadable').lower()}"
        raise BadInput([source_findings.BadMap(file=file, detail=detail)]) from None
    except ValueError as fault:
        detail = f"is no TOML: {str(fault).rstrip('.').lower()}"
        raise BadInput([source_findings.BadMap(file=file, detail=detail)]) from None
    try:
        found = ColumnMap.model_validate(data)
    except ValidationError as fault:
        raise BadInput([_finding(file, dict(error)) for error in fault.errors()]) from None
    wrong = [
        source_findings.UnknownOwnColumn(
            file=file, column=f"{table}.{name}", value=name, detail=nearest(name, known)
        )
        for table, names, known in (
            ("columns", found.columns, {*KNOWN, LEFT}),
            ("lengths", found.lengths, _LENGTHS),
        )
        for name in names
        if name not in known
    ]
    if wrong:
        raise BadInput(wrong)
    return found


def _finding(file: str, error: dict[str, Any]) -> Finding:
    key = ".".join(map(str, error["loc"]))
    if error["type"] == "extra_forbidden":
        detail = nearest(key, ColumnMap.model_fields)
        return source_findings.UnknownMapKey(file=file, column=key, detail=detail)
    return source_findings.BadMap(file=file, column=key, detail=f"has {error['msg'].lower()}")


def mapped(records: Records, by: ColumnMap, name: str) -> Records:
    """Return the rows of a source under the names and with the values of a catalogue.

    Raises
    ------
    BadInput
        If it lacks a column that is mapped.
    """
    missing = [
        source_findings.MappedColumnMissing(
            file=name, column=theirs, value=ours, detail=nearest(theirs, records.header)
        )
        for ours, theirs in by.columns.items()
        if theirs not in records.header
    ]
    if missing:
        raise BadInput(missing)
    ours = {theirs: own for own, theirs in by.columns.items()}
    # A column with a name of ours, for which the map names another header, is the shop's own.
    taken = set(by.columns)

    def named(header: str) -> str:
        return ours.get(header, f"{header} (as it was)" if header in taken else header)

    return replace(
        records,
        header=tuple(map(named, records.header)),
        columns={
            named(header): _converted(named(header), coded, by)
            for header, coded in records.columns.items()
        },
    )


def _converted(column: str, coded: Coded, by: ColumnMap) -> Coded:
    """Return a column with the texts that a catalogue has; what is no number stays as it is."""
    texts = np.empty(len(coded.texts), dtype=object)
    texts[:] = [_text(column, text, by) for text in coded.texts]
    if (texts == coded.texts).all():
        return coded
    again, distinct = pd.factorize(texts)
    return Coded(again[coded.codes].astype(np.int32), distinct)


def _text(column: str, text: str, by: ColumnMap) -> str:
    if column == "category":
        return by.categories.get(text, text)
    if column not in NUMERIC and column != LEFT:
        return text
    if by.decimal_comma and (number := _WITH_COMMA.fullmatch(text)):
        part = f".{number['part']}" if number["part"] else ""
        text = number["whole"].replace(".", "") + part
    if not _NUMBER.fullmatch(text):
        return text
    if column in by.lengths:
        text = _plain(Decimal(text) * _MM[by.lengths[column]] / _MM[_LENGTHS[column]])
    if column == "quality" and by.quality_most is not None:
        scaled = Decimal(text) * 100 / by.quality_most
        text = _plain(scaled.quantize(Decimal("0.01"), ROUND_HALF_UP))
    return text


def _plain(number: Decimal) -> str:
    return format(number.normalize(), "f")
