"""The types of a range, and of how many copies of a kit the stock makes."""

from __future__ import annotations

from typing import Literal

from kitsolver.show.schema.kit import CheckRecord, KitRecord
from kitsolver.show.schema.no_kit import NoKitRecord
from kitsolver.show.schema.record import Record, SkippedRecord, key, schema_key, skipped_key


class RangeKitRecord(Record):
    """One kit of a range."""

    name: str = key("Its name.")
    copies: int = key("How many of it are made.")
    kit: KitRecord = key("One copy.")


class StockedRecord(Record):
    """A row with a limited stock, and how much of it a range takes."""

    sku: str = key("The row.")
    stock: int = key("What is in stock.")
    taken: int = key("What all kits together take.")
    left: int = key("What is left.")


class ContendedRecord(Record):
    """A row that several kits, each at its best, would take."""

    sku: str = key("The row.")
    stock: int | None = key("What is in stock; null if there is enough, but it is not shared.")
    wanted: int = key("What these kits would take.")
    kits: list[str] = key("The names of the kits.")


class RangeRecord(Record):
    """Several kits from one stock, or why there are none."""

    schema_: Literal["kitsolver/range/1"] = schema_key()
    status: Literal["best", "best so far", "no kit"] = key(
        "`best` is said only of what is proven; `best so far` where time ran out."
    )
    title: str = key("The range's title.")
    currency: str = key("The currency of all sums (ISO 4217).")
    plan: Literal["together", "in order"] = key(
        "Whether the kits are the best together, or each of what those before it leave."
    )
    distinct: list[str] = key("Categories of which no row is in two kits.")
    quality: float | None = key("Copies times quality, added up.")
    bound: float | None = key("No range has a greater sum.")
    payable: str | None = key("What all copies come to.")
    kits: list[RangeKitRecord] = key("The kits, in the order of the range.")
    stock: list[StockedRecord] = key("The rows with a limited stock that the kits take.")
    contended: list[ContendedRecord] = key("The rows that the kits, each alone, would take twice.")
    checks: list[CheckRecord] = key("What holds of all kits together.")
    skipped: list[SkippedRecord] = skipped_key()
    lacking: str | None = key(
        "The kit that cannot be made; null if each can be made alone. Only where there is none.",
        None,
    )
    why: NoKitRecord | None = key("Why that kit cannot be made. Only where there is none.", None)


class SupplyRecord(Record):
    """How many copies the stock of one line allows."""

    sku: str = key("The row.")
    units: int = key("What one copy takes.")
    stock: int | None = key("What is in stock; null for any number.")
    copies: int | None = key("How many copies it makes; null for any number.")


class CopiesRecord(Record):
    """How many copies of a kit the stock allows."""

    schema_: Literal["kitsolver/copies/1"] = schema_key()
    title: str = key("The brief's title.")
    copies: int | None = key("The most copies; null if nothing limits them.")
    lines: list[SupplyRecord] = key("The lines, what runs out first at the top.")
    skipped: list[SkippedRecord] = skipped_key()
