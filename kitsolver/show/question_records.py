"""The records of ladders, other kits, explanations, rechecks and ranges, as types."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from kitsolver.show.records import CheckRecord, KitRecord, NoKitRecord, Record


class RungRecord(Record):
    """One rung of a ladder."""

    cap: str
    payable: str
    quality: float
    extras_quality: float
    skus: list[str]
    came: list[str]
    went: list[str]


class LadderRecord(Record):
    """Every rung between two caps."""

    schema_: Literal["kitsolver/ladder/1"] = Field(alias="schema")
    title: str
    currency: str
    from_: str = Field(alias="from")
    to: str
    proven_from: str
    rungs: list[RungRecord]
    why: NoKitRecord | None = None
    brief: dict[str, Any]


class SideRecord(Record):
    """The figures of a kit beside another."""

    payable: str
    quality: float
    extras_quality: float
    skus: list[str]
    came: list[str] | None = None
    went: list[str] | None = None


class ReachedRecord(SideRecord):
    """A kit that a higher cap would bring."""

    cap: str
    missing: str


class InsteadRecord(Record):
    """What a line could give way to."""

    sku: str
    line_total: str
    replaced: SideRecord | None
    given_up: SideRecord | None


class OthersRecord(Record):
    """The best kit, and others that come close."""

    schema_: Literal["kitsolver/others/1"] = Field(alias="schema")
    title: str
    currency: str
    cap: str
    best: SideRecord
    others: list[SideRecord]
    complete: bool
    out_of_reach: list[ReachedRecord]
    lines: list[InsteadRecord] | None = None
    brief: dict[str, Any]


class WhyRecord(Record):
    """Why a row is in the best kit, or why not."""

    schema_: Literal["kitsolver/why/1"] = Field(alias="schema")
    currency: str
    cap: str
    sku: str
    verdict: Literal["in the best kit", "beaten", "barred", "no kit"]
    barred: list[str]
    best: SideRecord | None
    with_it: SideRecord | None
    without: SideRecord | None
    price: str | None
    quality: float | None
    says: list[str]
    why: NoKitRecord | None


class RangeKitRecord(Record):
    """One kit of a range."""

    name: str
    copies: int
    kit: KitRecord


class StockedRecord(Record):
    """A row that is not unlimited, and what a range takes of it."""

    sku: str
    stock: int
    taken: int
    left: int


class ContendedRecord(Record):
    """A row that several kits would have taken; `stock` is null where they may not share it."""

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
    """How many copies of a kit one line's stock makes; null for any number."""

    sku: str
    units: int
    stock: int | None
    copies: int | None


class CopiesRecord(Record):
    """How many copies of a kit the stock makes; null for any number."""

    schema_: Literal["kitsolver/copies/1"] = Field(alias="schema")
    title: str
    copies: int | None
    lines: list[SupplyRecord]


class ChangeRecord(Record):
    """What changed about one row since a kit was saved."""

    sku: str
    what: str
    before: str
    now: str


class TodayRecord(Record):
    """A saved kit's figures today."""

    payable: str
    quality: float
    extras_quality: float


class SavedRecord(Record):
    """What a saved kit came to."""

    payable: str


class UnitsRecord(Record):
    """How many units of a row there were, and are."""

    sku: str
    before: int
    now: int


class BesideRecord(SideRecord):
    """A kit beside the saved one."""

    units: list[UnitsRecord]


class RecheckRecord(Record):
    """Whether a saved kit stands today, and what would mend it."""

    schema_: Literal["kitsolver/recheck/1"] = Field(alias="schema")
    title: str
    currency: str
    stands: bool
    still_best: bool
    changes: list[ChangeRecord]
    checks: list[CheckRecord]
    saved: SavedRecord
    today: TodayRecord | None
    best: BesideRecord | None
    nearest: BesideRecord | None
    mend: BesideRecord | None
