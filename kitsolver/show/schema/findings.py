"""The type of what `check` writes."""

from __future__ import annotations

from typing import Literal

from kitsolver.show.schema.record import Record, SkippedRecord, key, schema_key, skipped_key


class FindingRecord(Record):
    """One thing wrong with one cell, row or file."""

    code: str = key("The kind of the finding.")
    level: Literal["error", "warning", "note"] = key(
        "An error makes the row or file unusable, a note only tells how it is read."
    )
    sentence: str = key("What is wrong.")
    file: str = key("The file, or the address of the database without its password.")
    row: int | None = key("The row of the file; null for what concerns all of it.")
    column: str | None = key("The column of a catalogue, or the key of a brief.")
    value: str | None = key("The value as it is written.")
    hint: str | None = key("What would mend it; null where nothing general can be said.")


class FindingsRecord(Record):
    """Every finding in a catalogue, and in a brief held against it."""

    schema_: Literal["kitsolver/findings/1"] = schema_key()
    catalogue: str = key("The catalogue's file, or its address without the password.")
    usable_rows: int = key("How many of its rows can be used.")
    findings: list[FindingRecord] = key("Every finding.")
    skipped: list[SkippedRecord] = skipped_key()
