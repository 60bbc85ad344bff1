"""The type of the explanation of one sku."""

from __future__ import annotations

from typing import Literal

from kitsolver.show.schema.kit import BoundRecord
from kitsolver.show.schema.no_kit import NoKitRecord
from kitsolver.show.schema.others import SideRecord
from kitsolver.show.schema.record import (
    Record,
    SkippedRecord,
    key,
    names_key,
    schema_key,
    skipped_key,
)


class WhyRecord(Record):
    """Why a row is in the best kit, or why not."""

    schema_: Literal["kitsolver/why/1"] = schema_key()
    currency: str = key("The currency of all sums (ISO 4217).")
    cap: str = key("The most that is paid for the whole order.")
    sku: str = key("The row.")
    verdict: Literal[
        "in the best kit",
        "beaten",
        "barred",
        "refused",
        "passed over",
        "no kit",
        "not known in time",
    ] = key("Whether the row is in the best kit, or what is to be said of it.")
    barred: list[str] = key("What keeps the row out by itself, in sentences.")
    best: SideRecord | None = key("The best kit; null if there is none.")
    with_it: SideRecord | None = key("The best kit with the row; null if there is none.")
    without: SideRecord | None = key("The best kit without the row, where the best has it.")
    price: str | None = key(
        "The highest price at which the row is in the best kit; null where none is known."
    )
    quality: float | None = key(
        "The least quality with which it is in the best kit; null where none is known."
    )
    says: list[str] = key("All of it in sentences.")
    why: NoKitRecord | None = key(
        "Why there is no kit, or none with the row; null where no demand of the brief bars it."
    )
    skipped: list[SkippedRecord] = skipped_key()
    names: dict[str, str] = names_key()
    bound: BoundRecord | None = key(
        "Null; if time ran out before the best kit was proven, no kit beats these figures."
    )
    complete: bool = key("Whether time did not run out before all of that was known.")
