"""The types of a kit compared with the best one, and of what `others` writes."""

from __future__ import annotations

from typing import Any, Literal

from kitsolver.show.schema.kit import BoundRecord
from kitsolver.show.schema.record import (
    Record,
    SkippedRecord,
    brief_key,
    key,
    names_key,
    schema_key,
    skipped_key,
)


class SideRecord(Record):
    """The figures of a kit, and the skus in which it differs from another."""

    payable: str = key("What the kit comes to.")
    a_head: str | None = key("What one head pays, rounded; null for one head.")
    quality: float = key("Its quality.")
    extras_quality: float = key("The quality of its extras.")
    skus: list[str] = key("Its rows.")
    came: list[str] | None = key("The rows that the other kit does not have.", None)
    went: list[str] | None = key("The rows that only the other kit has.", None)


class ReachedRecord(SideRecord):
    """A kit that a higher cap would bring."""

    cap: str = key("The least cap at which it can be had.")
    missing: str = key("How much more that is than the brief's.")


class InsteadRecord(Record):
    """The best kits without one line of the kit."""

    sku: str = key("The line.")
    line_total: str = key("What it costs.")
    replaced: SideRecord | None = key(
        "The best kit with another row in its place and the other lines as they are; null if none."
    )
    given_up: SideRecord | None = key(
        "The best kit of a buyer who has this need at home, or wants no such extra; null if none."
    )


class OthersRecord(Record):
    """The best kit, and others that come close."""

    schema_: Literal["kitsolver/others/1"] = schema_key()
    title: str = key("The brief's title.")
    currency: str = key("The currency of all sums (ISO 4217).")
    cap: str = key("The most that is paid for the whole order.")
    best: SideRecord = key("The best kit.")
    others: list[SideRecord] = key("Other kits, the best first.")
    complete: bool = key("Whether time did not run out before all of them were found.")
    skipped: list[SkippedRecord] = skipped_key()
    bound: BoundRecord | None = key(
        "Null; if time ran out before the best kit was proven, no kit beats these figures."
    )
    out_of_reach: list[ReachedRecord] = key("Kits that a little more money would buy.")
    lines: list[InsteadRecord] | None = key(
        "What could stand in place of each line; only with `--lines`.", None
    )
    names: dict[str, str] = names_key()
    brief: dict[str, Any] = brief_key()
