"""Checks of a catalogue's header: missing, unnamed, repeated and misspelt columns."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from difflib import get_close_matches

from kitsolver.shop.cell_faults import shortened
from kitsolver.shop.columns.registry import KNOWN, REQUIRED
from kitsolver.shop.findings import Finding
from kitsolver.shop.sources import file_findings
from kitsolver.shop.sources.records import Records


def header_findings(
    name: str, records: Records, *, required: Iterable[str] = REQUIRED
) -> list[Finding]:
    """Return the findings of a header; a source whose header has an error cannot be used."""
    findings = [
        *_missing(name, records.header, required),
        *_unnamed(name, records),
        *_repeated(name, records),
        *_nearly_known(name, records),
    ]
    if not (len(records.rows) or records.findings or records.skipped):
        findings.append(file_findings.NoRows(file=name))
    return findings


def _missing(name: str, header: tuple[str, ...], required: Iterable[str]) -> Iterator[Finding]:
    for column in required:
        if column not in header:
            mend = _mend_of_missing(column, header)
            yield file_findings.MissingColumn(file=name, column=column, detail=mend)


def _mend_of_missing(column: str, header: Iterable[str]) -> str:
    unknown = {_plain(other): other for other in header if other not in KNOWN}
    if column in unknown:
        return f"rename {shortened(unknown[column])} to {column}: names are exact"
    if near := get_close_matches(column, unknown, n=1):
        return f"is it {shortened(unknown[near[0]])}? then rename that to {column}"
    return "add it to the header, or map the shop's own header to it: check --guess drafts a map"


def _unnamed(name: str, records: Records) -> Iterator[Finding]:
    for place, column in enumerate(records.header, start=1):
        if not column:
            where = f"column {place}"
            yield file_findings.BlankColumnName(file=name, row=records.header_row, detail=where)


def _repeated(name: str, records: Records) -> Iterator[Finding]:
    places: dict[str, list[int]] = {}
    for place, column in enumerate(records.header, start=1):
        places.setdefault(column, []).append(place)
    for column, numbers in places.items():
        if column and len(numbers) > 1:
            yield file_findings.DuplicateColumn(
                file=name,
                row=records.header_row,
                column=column,
                value=shortened(column),
                detail=f"columns {', '.join(map(str, numbers))}",
            )


def _nearly_known(name: str, records: Records) -> Iterator[Finding]:
    absent = {_plain(column): column for column in KNOWN.difference(records.header, REQUIRED)}
    for column in records.header:
        if column not in KNOWN and (meant := absent.get(_plain(column))):
            yield file_findings.NearlyKnownColumn(
                file=name, row=records.header_row, column=column, value=column, detail=meant
            )


def _plain(column: str) -> str:
    """Return a column's name without capitals, and with each gap as an underscore."""
    return re.sub(r"[\s_-]+", "_", column).lower()
