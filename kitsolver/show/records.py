"""The records that commands and the API give, as types: their JSON Schema is made from these."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field


class Record(BaseModel):
    """A record: every key is known, and nothing changes."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class FindingRecord(Record):
    """One thing wrong with one cell, row or file."""

    code: str
    level: Literal["error", "warning"]
    sentence: str
    file: str
    row: int | None
    column: str | None
    value: str | None
    hint: str | None


class FindingsRecord(Record):
    """Everything found in a catalogue, and in a brief held against it."""

    schema_: Literal["kitsolver/findings/1"] = Field(alias="schema")
    catalogue: str
    usable_rows: int
    findings: list[FindingRecord]


class MendRecord(Record):
    """A change with which there is a kit."""

    says: str
    options: str
    payable: str


class NoKitRecord(Record):
    """Why there is no kit."""

    because: list[str]
    conflict: list[str]
    mends: list[MendRecord]
    hints: list[str]


class LineRecord(Record):
    """One line of a kit; money as decimal text."""

    sku: str
    name: str
    category: str
    role: Literal["need", "extra"]
    units: int
    price: str
    line_total: str
    quality: float


class ShadeRecord(Record):
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


class FitRecord(Record):
    """How the design lies on the fabric; null where not known."""

    strands: int | None
    effective_count: float | None
    finished_cm: list[float] | None
    cut_cm: list[float] | None
    fabric_cm: list[float] | None
    turned: bool | None
    pieces: int | None
    repeats: int | None


class CheckRecord(Record):
    """One rule, checked again; `holds` is null where it could not be."""

    rule: str
    holds: bool | None
    detail: str


class BoundRecord(Record):
    """What no kit beats, one value a figure."""

    quality: float
    extras_quality: float
    payable: str
    together: float | None = None


class NextRungRecord(Record):
    """The least cap above at which the kit gets better."""

    cap: str
    missing: str
    quality: float
    extras_quality: float


class MarginRecord(Record):
    """What a kit leaves the shop, where a margin is asked; `singly` is its contents' own price."""

    sell_at: str
    cost: str
    margin: str
    margin_rate: float | None
    singly: str


class PackRecord(Record):
    """A pack that is bought, and how many."""

    sku: str
    units: int


class BuyRecord(Record):
    """How a need's goods are bought for less in packs of several sizes."""

    category: str
    line: str
    instead_of: str
    packs: list[PackRecord]
    total: str
    before: str


class CutRecord(Record):
    """How the fabric of a class is cut; `sku` is null where it is at home."""

    sku: str | None
    units: int
    from_each: int
    cut_cm: list[float]
    fabric_cm: list[float]
    spare_cuts: int
    offcuts_cm: list[list[float]]


class ShareRecord(Record):
    """What a table and a head get of one shade."""

    chart_colour: str
    thread_colour: str
    sku: str | None
    skeins_a_table: int
    metres_a_head: float | None


class TimeRecord(Record):
    """How long the design takes; `lessons` is null where their length is not said."""

    stitches: float
    stitches_an_hour: float
    hours: int
    lessons: int | None


class PlanRecord(Record):
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


class KitRecord(Record):
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
