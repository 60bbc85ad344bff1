"""The type of the explanation why there is no kit."""

from __future__ import annotations

from typing import Any

from kitsolver.show.schema.record import Record


class ChangeRecord(Record):
    """A key of the brief, as the names that lead to it, and its new value."""

    path: list[str]
    value: Any


class MendRecord(Record):
    """A change of the brief with which there is a kit."""

    says: str
    options: str
    changes: list[ChangeRecord]
    payable: str


class NoKitRecord(Record):
    """Why there is no kit."""

    because: list[str]
    conflict: list[str]
    mends: list[MendRecord]
    hints: list[str]
