"""The type of the plan for a class."""

from __future__ import annotations

from kitsolver.show.schema.record import Record, key


class PackRecord(Record):
    """A pack, and how many of it are bought."""

    sku: str = key("The pack.")
    units: int = key("How many of it are bought.")


class BuyRecord(Record):
    """Packs of several sizes that cost less than the row in the kit."""

    category: str = key("The category of the packs.")
    line: str = key("The catalogue's `line`, which all these packs have.")
    instead_of: str = key("The sku of the kit's own row.")
    packs: list[PackRecord] = key("What is bought in its place.")
    total: str = key("What these packs cost.")
    before: str = key("What the kit's own row costs.")


class CutRecord(Record):
    """How the fabric of a class is cut."""

    sku: str | None = key("The fabric; null where it is at home.")
    units: int = key("How many units of it are cut.")
    from_each: int = key("How many pieces each unit yields.")
    cut_cm: list[float] = key("Width and height of a piece, in centimetres.")
    fabric_cm: list[float] = key("Width and height of a unit, in centimetres.")
    spare_cuts: int = key("How many pieces are left over.")
    offcuts_cm: list[list[float]] = key(
        "What is left of each unit, in centimetres, the largest piece first."
    )


class ShareRecord(Record):
    """How much of one shade each table and each head gets."""

    chart_colour: str = key("The colour of the chart.")
    thread_colour: str = key("The colour of the thread that stands for it.")
    sku: str | None = key("The thread; null where it is at home.")
    skeins_a_table: int = key("The skeins that one table gets.")
    metres_a_head: float | None = key(
        "The metres off the skein that one head needs, with waste; null where not known."
    )


class TimeRecord(Record):
    """How long the design takes one head."""

    stitches: float = key("The stitches of the design.")
    stitches_an_hour: float = key("The speed that the brief gives.")
    hours: int = key("The hours that it takes, rounded up.")
    lessons: int | None = key("The lessons; null where the brief gives no minutes a lesson.")


class BringRecord(Record):
    """Goods of the home list that a class brings."""

    sku: str = key("The goods.")
    units: int = key("How many units; 0 of single thread.")
    metres: float | None = key("The metres of single thread; null of other goods.")


class PlanRecord(Record):
    """What a class is given: packs, cuts, thread, time and cautions."""

    kits: int = key("How many kits are made, the spare ones among them.")
    spare: int = key("How many of them are spare.")
    bring: list[BringRecord] = key("What comes from the home list.")
    buy: list[BuyRecord] = key("Packs to mix in place of the kit's own rows.")
    payable: str = key("What is paid with these packs.")
    a_head: str = key("What is paid for each head, rounded.")
    cut: CutRecord | None = key("How the fabric is cut; null where that is not known.")
    tables: int = key("How many tables share thread.")
    heads_a_table: int = key("How many heads work at one table.")
    share: list[ShareRecord] = key("The thread of each shade, as it is shared out.")
    time: TimeRecord | None = key("How long it takes; null where the stitches are not known.")
    cautions: list[str] = key("The usual cautions; the venue's own rules come first.")
