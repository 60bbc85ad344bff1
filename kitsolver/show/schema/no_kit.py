"""The type of the explanation why there is no kit."""

from __future__ import annotations

from kitsolver.show.schema.record import Record


class MendRecord(Record):
    """A change of the brief with which there is a kit."""

    says: str
    options: str
    payable: str


class NoKitRecord(Record):
    """Why there is no kit."""

    because: list[str]
    conflict: list[str]
    mends: list[MendRecord]
    hints: list[str]
