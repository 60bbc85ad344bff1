"""A CSV of briefs: each row is a brief, and each column a key of the base brief to be replaced."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from kitsolver.brief import brief_findings
from kitsolver.brief.reading import read_brief
from kitsolver.shop.findings import BadInput, Finding
from kitsolver.shop.sources.csv_source import read_records
from kitsolver.shop.sources.file_findings import BlankColumnName, DuplicateColumn, NoRows
from kitsolver.shop.sources.records import Records

# The column with the names of the briefs; it is no key of a brief.
_NAME = "brief"
_CAPS = ("cap", "cap_per_head")
# A row without a name is named by its number, with leading zeros so that names sort as rows do.
_DIGITS = 4

# Findings in the base that no row can mend.
_OF_THE_BASE = (
    brief_findings.UnreadableBrief,
    brief_findings.BriefNotUtf8,
    brief_findings.NotToml,
    brief_findings.UnknownKey,
)


@dataclass(frozen=True)
class Row:
    """One row: its name, its number in the file, its cells that are not blank, and its findings."""

    name: str
    number: int
    cells: dict[str, str] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()


def read_table(file: str, base: str, sets: Sequence[str]) -> list[Row]:
    """Return the rows of a CSV of briefs, in the file's order.

    Raises
    ------
    BadInput
        If the file or the base cannot be used at all, or a column is no key of a brief.
    """
    _check_base(base, sets)
    records = read_records(Path(file), file)
    if findings := list(_header_findings(file, base, records)):
        raise BadInput(findings)
    rows = [*_rows(file, records), *_ragged(records)]
    return sorted(rows, key=lambda row: row.number)


def _check_base(base: str, sets: Sequence[str]) -> None:
    """Refuse a base that no row can mend."""
    try:
        read_brief(base, sets=sets)
    except BadInput as bad:
        decisive = (
            *_OF_THE_BASE,
            brief_findings.NotASetting,
            brief_findings.UnusableSetting,
        )
        if found := [finding for finding in bad.findings if isinstance(finding, decisive)]:
            raise BadInput(found) from None


def _header_findings(file: str, base: str, records: Records) -> Iterator[Finding]:
    row, seen = records.header_row, set[str]()
    for place, key in enumerate(records.header, start=1):
        where = f"column {place}"
        if not key:
            yield BlankColumnName(file=file, row=row, detail=where)
        elif key in seen:
            yield DuplicateColumn(file=file, row=row, column=key, value=key, detail=where)
        elif key != _NAME:
            yield from _key_findings(file, base, row, key)
        seen.add(key)
    if not (len(records.rows) or records.findings):
        yield NoRows(file=file)


def _key_findings(file: str, base: str, row: int, key: str) -> Iterator[Finding]:
    """Yield what is wrong with a key, whatever value it is given."""
    if "=" in key:
        # In a setting the key ends at the sign, and the rest would become part of the value.
        yield brief_findings.UnknownKey(file=file, row=row, column=key)
        return
    try:
        read_brief(base, sets=[f"{key}=0"])
    except BadInput as bad:
        for finding in bad.findings:
            if isinstance(finding, (brief_findings.UnknownKey, brief_findings.NotASetting)):
                # A malformed setting, too, means that the header is no key.
                hint = finding.detail
                yield brief_findings.UnknownKey(file=file, row=row, column=key, detail=hint)


def _rows(file: str, records: Records) -> Iterator[Row]:
    columns = {key: column.texts[column.codes] for key, column in records.columns.items()}
    for place, number in enumerate(records.rows.tolist()):
        cells = {key: texts[place] for key, texts in columns.items() if texts[place]}
        name = cells.pop(_NAME, "") or _numbered(number)
        found: tuple[Finding, ...] = ()
        if all(key in cells for key in _CAPS):
            found = (
                brief_findings.TwoCaps(file=file, row=number, column="cap", value=cells["cap"]),
            )
        yield Row(name, number, cells, found)


def _ragged(records: Records) -> Iterator[Row]:
    """Yield the rows that have too few or too many cells, so that none can be assigned."""
    for finding in records.findings:
        number = finding.row or 0
        yield Row(_numbered(number), number, findings=(finding,))


def _numbered(number: int) -> str:
    return f"{number:0{_DIGITS}}"
