"""The type of a kit as `pick` writes it."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from kitsolver.show.schema.class_plan import PlanRecord
from kitsolver.show.schema.no_kit import NoKitRecord
from kitsolver.show.schema.record import Record


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

    `backstitch_cm` stands where the colour has backstitch, `kind` where the thread is not cotton.
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
    """Size, strands and cuts of the design on the fabric; null where not known."""

    strands: int | None
    effective_count: float | None
    finished_cm: list[float] | None
    cut_cm: list[float] | None
    fabric_cm: list[float] | None
    turned: bool | None
    pieces: int | None
    repeats: int | None


class CheckRecord(Record):
    """One rule, checked again on the rows; `holds` is null where it cannot be checked."""

    rule: str
    holds: bool | None
    detail: str


class BoundRecord(Record):
    """The proven bound on each figure: no kit beats it."""

    quality: float
    extras_quality: float
    payable: str
    together: float | None = None


class NextRungRecord(Record):
    """The least cap above the brief's at which the best kit gets better."""

    cap: str
    missing: str
    quality: float
    extras_quality: float


class MarginRecord(Record):
    """What the shop keeps, where a margin is asked; `singly` is the goods at shelf prices."""

    sell_at: str
    cost: str
    margin: str
    margin_rate: float | None
    singly: str


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
