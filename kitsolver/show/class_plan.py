"""The plan for a class, as JSON and in words."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import floor
from typing import TYPE_CHECKING, Any

from kitsolver.brief.brief import Brief
from kitsolver.craft.fit import Size
from kitsolver.craft.lengths import rounded
from kitsolver.shop.money import to_text
from kitsolver.show.sentences import caution_sentences, size_text
from kitsolver.solve.outcome import Kit

if TYPE_CHECKING:
    from kitsolver.solve.class_plan import ClassPlan


def plan_record(plan: ClassPlan, kit: Kit, brief: Brief) -> dict[str, Any]:
    """Return the record of a class's plan."""

    def money(minor: int) -> str:
        return to_text(minor, brief.currency)

    cuts, hours = plan.cuts, plan.hours
    return {
        "kits": plan.kits,
        "spare": brief.spare,
        "buy": [
            {
                "category": one.category,
                "line": one.line,
                "instead_of": one.instead_of,
                "packs": [{"sku": sku, "units": units} for sku, units in one.packs],
                "total": money(one.total),
                "before": money(one.before),
            }
            for one in plan.bought
        ],
        "payable": money(plan.receipt.payable),
        "a_head": money(_each(plan.receipt.payable, brief)),
        "cut": None
        if cuts is None
        else {
            "sku": cuts.sku or None,
            "units": cuts.units,
            "from_each": cuts.from_each,
            "cut_cm": _pair(cuts.cut),
            "fabric_cm": _pair(cuts.fabric),
            "spare_cuts": cuts.spare,
            "offcuts_cm": [_pair(rest) for rest in cuts.offcuts],
        },
        "tables": plan.tables,
        "heads_a_table": plan.heads_a_table,
        "share": [
            {
                "chart_colour": one.chart_colour,
                "thread_colour": one.thread_colour,
                "sku": one.sku,
                "skeins_a_table": one.skeins_a_table,
                "metres_a_head": None if one.metres_a_head is None else float(one.metres_a_head),
            }
            for one in plan.shared
        ],
        "time": None
        if hours is None
        else {
            "stitches": float(hours.stitches),
            "stitches_an_hour": float(hours.an_hour),
            "hours": hours.hours,
            "lessons": hours.lessons,
        },
        "cautions": list(caution_sentences(kit, brief)),
    }


def plan_sentences(plan: ClassPlan, kit: Kit, brief: Brief) -> Iterator[str]:
    """Tell what a class is to be given, in sentences."""
    if plan.bought:
        yield from _buying(plan, kit, brief)
    if plan.cuts is not None:
        cuts = plan.cuts
        from_each = f"{cuts.from_each} from each" if cuts.units > 1 else f"{cuts.from_each} from it"
        spare = f", {cuts.spare} to spare" if cuts.spare else ""
        yield f"Cut {size_text(cuts.cut, brief.units)}, {from_each}{spare}."
        if cuts.offcuts:
            left = ", ".join(size_text(rest, brief.units) for rest in cuts.offcuts[:3])
            more = " and smaller" if len(cuts.offcuts) > 3 else ""
            yield f"Of each is left {left}{more}."
    if plan.shared:
        tables = "table" if plan.tables == 1 else "tables"
        heads = "head" if plan.heads_a_table == 1 else "heads"
        yield f"Share out thread to {plan.tables} {tables} of {plan.heads_a_table} {heads}."
    if plan.hours is not None:
        hours = plan.hours
        told = f"{float(hours.stitches):g} crosses at {float(hours.an_hour):g} an hour"
        lessons = "" if hours.lessons is None else f", {hours.lessons} lessons"
        yield f"{told} take {hours.hours} hours{lessons}."
    yield f"{to_text(_each(plan.receipt.payable, brief), brief.currency)} a head, about."


def _buying(plan: ClassPlan, kit: Kit, brief: Brief) -> Iterator[str]:
    for one in plan.bought:
        packs = " and ".join(f"{units} × {sku}" for sku, units in one.packs)
        sums = [to_text(sum_, brief.currency) for sum_ in (one.total, one.before)]
        yield f"Buy {packs} instead of {one.instead_of}: {sums[0]} instead of {sums[1]}."
    sums = [to_text(sum_, brief.currency) for sum_ in (plan.receipt.payable, kit.receipt.payable)]
    yield f"So bought it comes to {sums[0]} instead of {sums[1]}."


def _each(payable: int, brief: Brief) -> int:
    return floor(Fraction(payable, brief.heads) + Fraction(1, 2))


def _pair(size: Size) -> list[float]:
    return [float(rounded(side)) for side in size]
