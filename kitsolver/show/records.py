"""The records that commands and the API give, as types: their JSON Schema is made from these."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field


class _Record(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class FindingRecord(_Record):
    """One thing wrong with one cell, row or file."""

    code: str
    level: Literal["error", "warning"]
    sentence: str
    file: str
    row: int | None
    column: str | None
    value: str | None
    hint: str | None


class FindingsRecord(_Record):
    """Everything found in a catalogue, and in a brief held against it."""

    schema_: Literal["kitsolver/findings/1"] = Field(alias="schema")
    catalogue: str
    usable_rows: int
    findings: list[FindingRecord]


class MendRecord(_Record):
    """A change with which there is a kit."""

    says: str
    options: str
    payable: str


class NoKitRecord(_Record):
    """Why there is no kit."""

    because: list[str]
    conflict: list[str]
    mends: list[MendRecord]
    hints: list[str]


class LineRecord(_Record):
    """One line of a kit; money as decimal text."""

    sku: str
    name: str
    category: str
    role: Literal["need", "extra"]
    units: int
    price: str
    line_total: str
    quality: float


class ShadeRecord(_Record):
    """The thread of one chart colour; `sku` is null where it is at home.

    `backstitch_cm` is there where the colour has some, `kind` where it is not the usual one.
    """

    chart_colour: str
    stitches: int | float
    sku: str | None
    thread_colour: str
    difference: float
    skeins: int
    backstitch_cm: float | None = None
    kind: str | None = None


class FitRecord(_Record):
    """How the design lies on the fabric; null where not known."""

    strands: int | None
    effective_count: float | None
    finished_cm: list[float] | None
    cut_cm: list[float] | None
    fabric_cm: list[float] | None
    turned: bool | None
    pieces: int | None
    repeats: int | None


class CheckRecord(_Record):
    """One rule, checked again; `holds` is null where it could not be."""

    rule: str
    holds: bool | None
    detail: str


class BoundRecord(_Record):
    """What no kit beats, one value a figure."""

    quality: float
    extras_quality: float
    payable: str
    together: float | None = None


class NextRungRecord(_Record):
    """The least cap above at which the kit gets better."""

    cap: str
    missing: str
    quality: float
    extras_quality: float


class MarginRecord(_Record):
    """What a kit leaves the shop, where a margin is asked; `singly` is its contents' own price."""

    sell_at: str
    cost: str
    margin: str
    margin_rate: float | None
    singly: str


class PackRecord(_Record):
    """A pack that is bought, and how many."""

    sku: str
    units: int


class BuyRecord(_Record):
    """How a need's goods are bought for less in packs of several sizes."""

    category: str
    line: str
    instead_of: str
    packs: list[PackRecord]
    total: str
    before: str


class CutRecord(_Record):
    """How the fabric of a class is cut; `sku` is null where it is at home."""

    sku: str | None
    units: int
    from_each: int
    cut_cm: list[float]
    fabric_cm: list[float]
    spare_cuts: int
    offcuts_cm: list[list[float]]


class ShareRecord(_Record):
    """What a table and a head get of one shade."""

    chart_colour: str
    thread_colour: str
    sku: str | None
    skeins_a_table: int
    metres_a_head: float | None


class TimeRecord(_Record):
    """How long the design takes; `lessons` is null where their length is not said."""

    stitches: float
    stitches_an_hour: float
    hours: int
    lessons: int | None


class PlanRecord(_Record):
    """What a class is to be given."""

    kits: int
    spare: int
    buy: list[BuyRecord]
    payable: str
    a_head: str
    cut: CutRecord | None
    tables: int
    heads_a_table: int
    share: list[ShareRecord]
    time: TimeRecord | None
    cautions: list[str]


class KitRecord(_Record):
    """A kit, or why there is none."""

    schema_: Literal["kitsolver/kit/1"] = Field(alias="schema")
    status: Literal["best", "best so far", "no kit"]
    title: str
    currency: str
    heads: int
    cap: str
    goods: str | None
    discount: str | None
    delivery: str | None
    tax: str | None
    payable: str | None
    left: str | None
    quality: float | None
    extras_quality: float | None
    bound: BoundRecord | None
    lines: list[LineRecord]
    shades: list[ShadeRecord]
    fit: FitRecord | None
    checks: list[CheckRecord]
    next_rung: NextRungRecord | None
    why: NoKitRecord | None = None
    warnings: list[str] | None = None
    margin: MarginRecord | None = None
    plan: PlanRecord | None = None
    brief: dict[str, Any]


class RungRecord(_Record):
    """One rung of a ladder."""

    cap: str
    payable: str
    quality: float
    extras_quality: float
    skus: list[str]
    came: list[str]
    went: list[str]


class LadderRecord(_Record):
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


class SideRecord(_Record):
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


class InsteadRecord(_Record):
    """What a line could give way to."""

    sku: str
    line_total: str
    replaced: SideRecord | None
    given_up: SideRecord | None


class OthersRecord(_Record):
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


class WhyRecord(_Record):
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


class RangeKitRecord(_Record):
    """One kit of a range."""

    name: str
    copies: int
    kit: KitRecord


class StockedRecord(_Record):
    """A row that is not unlimited, and what a range takes of it."""

    sku: str
    stock: int
    taken: int
    left: int


class ContendedRecord(_Record):
    """A row that several kits would have taken; `stock` is null where they may not share it."""

    sku: str
    stock: int | None
    wanted: int
    kits: list[str]


class RangeRecord(_Record):
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


class SupplyRecord(_Record):
    """How many copies of a kit one line's stock makes; null for any number."""

    sku: str
    units: int
    stock: int | None
    copies: int | None


class CopiesRecord(_Record):
    """How many copies of a kit the stock makes; null for any number."""

    schema_: Literal["kitsolver/copies/1"] = Field(alias="schema")
    title: str
    copies: int | None
    lines: list[SupplyRecord]


class ChangeRecord(_Record):
    """What changed about one row since a kit was saved."""

    sku: str
    what: str
    before: str
    now: str


class TodayRecord(_Record):
    """A saved kit's figures today."""

    payable: str
    quality: float
    extras_quality: float


class SavedRecord(_Record):
    """What a saved kit came to."""

    payable: str


class UnitsRecord(_Record):
    """How many units of a row there were, and are."""

    sku: str
    before: int
    now: int


class BesideRecord(SideRecord):
    """A kit beside the saved one."""

    units: list[UnitsRecord]


class RecheckRecord(_Record):
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
