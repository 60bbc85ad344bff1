"""The type of the plan for a class."""

from __future__ import annotations

from kitsolver.show.schema.record import Record


class PackRecord(Record):
    """A pack, and how many of it are bought."""

    sku: str
    units: int


class BuyRecord(Record):
    """Packs of several sizes that cost less than the row in the kit."""

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
    """How much of one shade each table and each head gets."""

    chart_colour: str
    thread_colour: str
    sku: str | None
    skeins_a_table: int
    metres_a_head: float | None


class TimeRecord(Record):
    """How long the design takes; `lessons` is null where the brief gives no minutes a lesson."""

    stitches: float
    stitches_an_hour: float
    hours: int
    lessons: int | None


class PlanRecord(Record):
    """What a class is given: packs, cuts, thread, time and cautions."""

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
