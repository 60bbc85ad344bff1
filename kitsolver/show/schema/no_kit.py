"""The type of the explanation why there is no kit."""

from __future__ import annotations

from typing import Any

from kitsolver.show.schema.record import Record, key


class ChangeRecord(Record):
    """A key of the brief, and its new value."""

    path: list[str] = key("The names that lead to the key.")
    value: Any = key("Its new value; null if the key goes.")


class MendRecord(Record):
    """A change of the brief with which there is a kit."""

    says: str = key("The change in a sentence.")
    options: str = key("The change as options of the command.")
    changes: list[ChangeRecord] = key("The change, key by key.")
    payable: str = key("What the cheapest kit comes to then.")


class NoKitRecord(Record):
    """Why there is no kit."""

    because: list[str] = key("The reasons in sentences.")
    conflict: list[str] = key("Keys of the brief that cannot hold together.")
    mends: list[MendRecord] = key("Changes of the brief with which there is a kit.")
    hints: list[str] = key("The options of the mends.")
    complete: bool = key("Whether time did not run out before all of that was known.")
