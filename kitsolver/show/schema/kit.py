"""The type of a kit as `pick` writes it."""

from __future__ import annotations

from typing import Any, Literal

from kitsolver.show.schema.class_plan import PlanRecord
from kitsolver.show.schema.no_kit import NoKitRecord
from kitsolver.show.schema.record import (
    Record,
    SkippedRecord,
    brief_key,
    key,
    schema_key,
    skipped_key,
    why_key,
)


class LineRecord(Record):
    """One line of a kit; money as decimal text."""

    sku: str = key("The row of the catalogue.")
    name: str = key("Its name.")
    category: str = key("Its category.")
    role: Literal["need", "extra"] = key("Whether the line is a need or an extra.")
    from_home: int = key("How many of its units the home list has; they are not bought.")
    from_home_m: float | None = key(
        "Of single thread the metres taken from the home list, to 0.01; where there is a list.",
        None,
    )
    left_after_m: float | None = key("The metres of it that are left at home.", None)
    units: int = key("How many units the kit takes.")
    price: str = key("What a unit costs; 0 for a row that the buyer owns.")
    line_total: str = key("What all units cost.")
    quality: float = key("The quality of the row, 0 to 100.")


class ShadeRecord(Record):
    """The thread of one chart colour."""

    chart_colour: str = key("The colour of the chart.")
    stitches: int | float = key("Its stitches.")
    sku: str | None = key("The thread; null where it is at home.")
    thread_colour: str = key("The colour of the thread.")
    difference: float = key(
        "How far it is from the chart's colour, or with free colours from the nearest wish "
        "(CIEDE2000)."
    )
    skeins: int = key("The skeins of this colour, for all pools.")
    backstitch_cm: float | None = key(
        "The backstitch in centimetres; only where there is some.", None
    )
    kind: str | None = key("The kind of thread; only where it is not cotton.", None)


class HomeRecord(Record):
    """The home list of a kit."""

    source: str = key("The list, as the brief or the command line names it.")
    rows: list[dict[str, str]] = key("Its rows of which something is taken, as they are written.")


class FitRecord(Record):
    """Size, strands and cuts of the design on the fabric; null where not known."""

    strands: int | None = key("Strands in the needle.")
    effective_count: float | None = key("Stitches an inch.")
    finished_cm: list[float] | None = key("Width and height of the design, in centimetres.")
    cut_cm: list[float] | None = key("Width and height with the margins, in centimetres.")
    fabric_cm: list[float] | None = key("Width and height of the fabric, in centimetres.")
    turned: bool | None = key("Whether the design fits only if it is turned.")
    pieces: int | None = key("How many cuts a unit of the fabric yields.")
    repeats: int | None = key("How often the design can be stitched on the uncut piece.")


class CheckRecord(Record):
    """One rule, checked again on the catalogue's rows."""

    rule: str = key("The rule.")
    holds: bool | None = key("Whether it holds; null where it cannot be checked.")
    detail: str = key("The figures of the check, or why it cannot be made.")


class BoundRecord(Record):
    """The proven bound on each figure: no kit beats it."""

    quality: float = key("The bound on quality.")
    extras_quality: float = key("The bound on the quality of extras.")
    payable: str = key("The bound on what is payable.")
    together: float | None = key(
        'The bound on quality and extras, where `extras.spend` is "together".', None
    )


class NextRungRecord(Record):
    """The least cap above the brief's at which the best kit gets better."""

    cap: str = key("That cap, for the whole order.")
    missing: str = key("How much more it is than the brief's.")
    quality: float = key("The quality of the best kit there.")
    extras_quality: float = key("The quality of its extras.")


class MarginRecord(Record):
    """What the shop keeps, where a margin is asked. It is for the shop only."""

    sell_at: str = key("What the kit is sold at.")
    cost: str = key("What its lines cost the shop.")
    margin: str = key("What the shop keeps.")
    margin_rate: float | None = key("That as a share; null where the kit is sold at 0.")
    least_sell_at: str | None = key(
        "The least price that leaves the margin asked for; null where none does."
    )
    singly: str = key("The goods at shelf prices.")


class KitRecord(Record):
    """A kit, or why there is none."""

    schema_: Literal["kitsolver/kit/1"] = schema_key()
    status: Literal["best", "best so far", "no kit"] = key(
        "`best` is said only of what is proven; `best so far` where time ran out."
    )
    title: str = key("The brief's title.")
    currency: str = key("The currency of all sums (ISO 4217).")
    heads: int = key("How many people get a kit.")
    cap: str = key("The most that is paid for the whole order.")
    goods: str | None = key("The goods at shelf prices.")
    discount: str | None = key("What is taken off them.")
    delivery: str | None = key("What delivery costs.")
    tax: str | None = key("The tax on top.")
    payable: str | None = key("What is paid, all in.")
    left: str | None = key("What the cap leaves.")
    quality: float | None = key("The weighted mean quality of the needs, 0 to 100.")
    extras_quality: float | None = key("The sum of the extras' qualities.")
    bound: BoundRecord | None = key("What no kit beats.")
    lines: list[LineRecord] = key("What is bought: needs first, then extras.")
    shades: list[ShadeRecord] = key("The thread of each chart colour.")
    fit: FitRecord | None = key("How the design lies on the fabric.")
    checks: list[CheckRecord] = key("Every rule, checked again on the catalogue's own rows.")
    next_rung: NextRungRecord | None = key(
        "The first rung above the cap; null if there is none or it was not looked for."
    )
    skipped: list[SkippedRecord] = skipped_key()
    why: NoKitRecord | None = why_key()
    warnings: list[str] | None = key(
        "Shades that are hard to see on the cloth; only where there are some.", None
    )
    home: HomeRecord | None = key("What is at home, where there is a list.", None)
    margin: MarginRecord | None = key("The shop's margin; only where one is asked.", None)
    plan: PlanRecord | None = key("The plan for a class; only for several kits.", None)
    brief: dict[str, Any] = brief_key()
