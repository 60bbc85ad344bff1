"""The type of what `check` writes."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from kitsolver.show.schema.record import Record


class FindingRecord(Record):
    """One thing wrong with one cell, row or file."""

    code: str
    level: Literal["error", "warning"]
    sentence: str
    file: str
    row: int | None
    column: str | None
    value: str | None
    hint: str | None


class FindingsRecord(Record):
    """Every finding in a catalogue, and in a brief held against it."""

    schema_: Literal["kitsolver/findings/1"] = Field(alias="schema")
    catalogue: str
    usable_rows: int
    findings: list[FindingRecord]
