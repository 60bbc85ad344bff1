"""The type of a ladder."""

from __future__ import annotations

from typing import Any, Literal

from kitsolver.show.schema.no_kit import NoKitRecord
from kitsolver.show.schema.record import (
    Record,
    SkippedRecord,
    brief_key,
    key,
    names_key,
    schema_key,
    skipped_key,
    why_key,
)


class RungRecord(Record):
    """One rung of a ladder."""

    cap: str = key("The least cap at which this kit can be had.")
    payable: str = key("What the kit comes to.")
    a_head: str | None = key("What one head pays, rounded; null for one head.")
    quality: float = key("Its quality.")
    extras_quality: float = key("The quality of its extras.")
    skus: list[str] = key("Its rows.")
    came: list[str] = key("The rows that the kit of the rung below does not have.")
    went: list[str] = key("The rows that only the kit of the rung below has.")


class LadderRecord(Record):
    """Every rung between two caps."""

    schema_: Literal["kitsolver/ladder/1"] = schema_key()
    title: str = key("The brief's title.")
    currency: str = key("The currency of all sums (ISO 4217).")
    from_: str = key("The lower cap.", written="from")
    to: str = key("The upper cap.")
    proven_from: str = key("From this cap up every rung is there; above `from` if time ran out.")
    skipped: list[SkippedRecord] = skipped_key()
    rungs: list[RungRecord] = key("The rungs, in rising order.")
    names: dict[str, str] = names_key()
    why: NoKitRecord | None = why_key()
    brief: dict[str, Any] = brief_key()
