"""The type of what `recheck` writes."""

from __future__ import annotations

from typing import Literal

from kitsolver.show.schema.kit import CheckRecord
from kitsolver.show.schema.others import SideRecord
from kitsolver.show.schema.record import (
    Record,
    SkippedRecord,
    key,
    names_key,
    schema_key,
    skipped_key,
)


class ChangeRecord(Record):
    """What changed about one row since a kit was saved."""

    sku: str = key("The row.")
    what: str = key("What changed: `vanished`, `category`, `price`, `quality` or `stock`.")
    before: str = key("What it was; of stock, what the kit needs.")
    now: str = key("What it is.")


class TodayRecord(Record):
    """A saved kit's figures today."""

    payable: str = key("What it comes to.")
    quality: float = key("Its quality.")
    extras_quality: float = key("The quality of its extras.")


class SavedRecord(Record):
    """A saved kit when it was saved."""

    payable: str = key("What it came to.")


class UnitsRecord(Record):
    """The units of one row before and now."""

    sku: str = key("The row.")
    before: int = key("The units of the saved kit.")
    now: int = key("The units of today's.")


class BesideRecord(SideRecord):
    """A kit beside the saved one."""

    units: list[UnitsRecord] = key("The rows of which it takes another number.")


class RecheckRecord(Record):
    """Whether a saved kit stands today, and what would mend it."""

    schema_: Literal["kitsolver/recheck/1"] = schema_key()
    title: str = key("The brief's title.")
    currency: str = key("The currency of all sums (ISO 4217).")
    stands: bool = key("Whether the saved lines and shades keep every rule today.")
    still_best: bool = key("Whether no other kit of today is better.")
    changes: list[ChangeRecord] = key("What changed about the lines.")
    checks: list[CheckRecord] = key("Every rule, held against today's rows.")
    saved: SavedRecord = key("What the kit came to.")
    today: TodayRecord | None = key("What it comes to; null if lines are missing.")
    best: BesideRecord | None = key("The best kit of today; null if there is none.")
    nearest: BesideRecord | None = key(
        "The kit of today that changes fewest lines; null where the saved kit stands."
    )
    mend: BesideRecord | None = key("`nearest` or `best`, as `--against` asks.")
    skipped: list[SkippedRecord] = skipped_key()
    names: dict[str, str] = names_key()
    complete: bool = key("Whether time did not run out before all of that was known.")
