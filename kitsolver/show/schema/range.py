"""The types of a range, and of how many copies of a kit the stock makes."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from kitsolver.show.schema.kit import CheckRecord, KitRecord
from kitsolver.show.schema.no_kit import NoKitRecord
from kitsolver.show.schema.record import Record


class RangeKitRecord(Record):
    """One kit of a range."""

    name: str
    copies: int
    kit: KitRecord


class StockedRecord(Record):
    """A row with a limited stock, and how much of it a range takes."""

    sku: str
    stock: int
    taken: int
    left: int


class ContendedRecord(Record):
    """A row that several kits, each at its best, would take; `stock` is null if it is not short."""

    sku: str
    stock: int | None
    wanted: int
    kits: list[str]


class RangeRecord(Record):
    """Several kits from one stock, or why there are none."""

    schema_: Literal["kitsolver/range/1"] = Field(alias="schema")
    status: Literal["best", "best so far", "no kit"]
    title: str
    currency: str
    plan: Literal["together", "in order"]
    distinct: list[str]
    quality: float | None
    bound: float | None
    payable: str | None
    kits: list[RangeKitRecord]
    stock: list[StockedRecord]
    contended: list[ContendedRecord]
    checks: list[CheckRecord]
    lacking: str | None = None
    why: NoKitRecord | None = None


class SupplyRecord(Record):
    """How many copies the stock of one line allows; null if its stock is unlimited."""

    sku: str
    units: int
    stock: int | None
    copies: int | None


class CopiesRecord(Record):
    """How many copies of a kit the stock allows; null if nothing limits them."""

    schema_: Literal["kitsolver/copies/1"] = Field(alias="schema")
    title: str
    copies: int | None
    lines: list[SupplyRecord]
