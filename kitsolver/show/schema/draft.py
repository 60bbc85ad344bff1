"""The type of the draft of a map."""

from __future__ import annotations

from typing import Any, Literal

from kitsolver.show.schema.record import Record, key, schema_key


class GuessRecord(Record):
    """One line of the map."""

    table: str = key("The table of the map that it belongs to; empty for a key outside all tables.")
    key_: str = key("The key.", written="key")
    value: str | int | bool | list[str] = key("What the map says for the key.")
    headers: list[str] = key("The columns of the source that it is about.")
    meaning: str = key("What the line says.")
    reason: str = key("Why it was guessed.")
    certainty: Literal["sure", "unsure"] = key("Whether a person has to look at it.")
    samples: list[str] = key("At most three cells that it was guessed from.")


class UnmappedRecord(Record):
    """A column of the source that the map leaves alone."""

    header: str = key("Its header.")
    reason: str = key("Why it is not mapped.")
    samples: list[str] = key("At most three of its cells.")


class MissingRecord(Record):
    """A column of ours that goods of the source need, and that it does not seem to have."""

    column: str = key("Our column.")
    reason: str = key("What it is needed for, and what can be done.")


class DraftRecord(Record):
    """The draft of a map of columns."""

    schema_: Literal["kitsolver/draft/1"] = schema_key()
    catalogue: str = key("The catalogue's file, or its address without the password.")
    map: dict[str, Any] = key("The map as its TOML file holds it.")
    guesses: list[GuessRecord] = key("Its lines.")
    unmapped: list[UnmappedRecord] = key("The columns that no line is about.")
    missing: list[MissingRecord] = key("What goods need and the source does not seem to have.")
    notes: list[str] = key("How the source was read.")
