"""The plan for a class, as JSON and in sentences."""

from __future__ import annotations

from collections.abc import Iterator

from kitsolver.brief.brief import Brief
from kitsolver.shop.money import to_text
from kitsolver.show.a_head import a_head
from kitsolver.show.from_home import bring_records, bring_sentence
from kitsolver.show.json_record import JsonObject, size_cm
from kitsolver.show.sentences import caution_sentences, size_text
from kitsolver.solve.class_plan import ClassPlan, Cuts, StitchingTime
from kitsolver.solve.outcome import Kit


def plan_record(plan: ClassPlan, kit: Kit, brief: Brief) -> JsonObject:
    """Return the JSON object of a plan for a class."""

    def money(minor: int) -> str:
        return to_text(minor, brief.currency)

    cuts, time = plan.cuts, plan.time
    return {
        "kits": plan.kits,
        "spare": brief.spare,
        "bring": bring_records(kit),
        "buy": [
            {
                "category": mix.category,
                "line": mix.line,
                "instead_of": mix.instead_of,
                "packs": [{"sku": sku, "units": units} for sku, units in mix.packs],
                "total": money(mix.total),
                "before": money(mix.before),
            }
            for mix in plan.pack_mixes
        ],
        "payable": money(plan.receipt.payable),
        "a_head": money(a_head(plan.receipt.payable, brief)),
        "cut": None
        if cuts is None
        else {
            "sku": cuts.sku or None,
            "units": cuts.units,
            "from_each": cuts.from_each,
            "cut_cm": size_cm(cuts.cut),
            "fabric_cm": size_cm(cuts.fabric),
            "spare_cuts": cuts.spare,
            "offcuts_cm": [size_cm(offcut) for offcut in cuts.offcuts],
        },
        "tables": plan.tables,
        "heads_a_table": plan.heads_a_table,
        "share": [
            {
                "chart_colour": share.chart_colour,
                "thread_colour": share.thread_colour,
                "sku": share.sku,
                "skeins_a_table": share.skeins_a_table,
                "metres_a_head": None
                if share.metres_a_head is None
                else float(share.metres_a_head),
            }
            for share in plan.thread_shares
        ],
        "time": None
        if time is None
        else {
            "stitches": float(time.stitches),
            "stitches_an_hour": float(time.an_hour),
            "hours": time.hours,
            "lessons": time.lessons,
        },
        "cautions": list(caution_sentences(kit, brief)),
    }


def plan_sentences(plan: ClassPlan, kit: Kit, brief: Brief) -> Iterator[str]:
    """Yield what to bring, to buy, to cut and to hand out, the time, and what a head pays."""
    if bring := bring_sentence(kit):
        yield bring
    if plan.pack_mixes:
        yield from buying_sentences(plan, kit, brief)
    if plan.cuts is not None:
        cuts = plan.cuts
        from_each = f"{cuts.from_each} from each" if cuts.units > 1 else f"{cuts.from_each} from it"
        spare = f", {cuts.spare} to spare" if cuts.spare else ""
        yield f"Cut {size_text(cuts.cut, brief.units)}, {from_each}{spare}."
        yield from offcut_sentences(cuts, brief)
    if plan.thread_shares:
        tables = "table" if plan.tables == 1 else "tables"
        heads = "head" if plan.heads_a_table == 1 else "heads"
        yield f"Share out thread to {plan.tables} {tables} of {plan.heads_a_table} {heads}."
    if plan.time is not None:
        yield time_sentence(plan.time)
    payable = a_head(plan.receipt.payable, brief)
    yield f"{to_text(payable, brief.currency)} a head, about."


def offcut_sentences(cuts: Cuts, brief: Brief) -> Iterator[str]:
    """Yield what is left of each piece of fabric."""
    if cuts.offcuts:
        left = " and ".join(size_text(rest, brief.units) for rest in cuts.offcuts[:3])
        more = " and smaller" if len(cuts.offcuts) > 3 else ""
        yield f"Left over from each piece of cloth: {left}{more}."


def time_sentence(time: StitchingTime) -> str:
    """Return how long the design takes one head."""
    lessons = "" if time.lessons is None else f", {time.lessons} lessons"
    return (
        f"{float(time.stitches):g} crosses at {float(time.an_hour):g} an hour "
        f"take {time.hours} hours{lessons}."
    )


def buying_sentences(plan: ClassPlan, kit: Kit, brief: Brief) -> Iterator[str]:
    """Yield which packs to buy in place of others, and what is then paid."""
    for mix in plan.pack_mixes:
        packs = " and ".join(f"{units} × {sku}" for sku, units in mix.packs)
        sums = [to_text(minor, brief.currency) for minor in (mix.total, mix.before)]
        yield f"Buy {packs} instead of {mix.instead_of}: {sums[0]} instead of {sums[1]}."
    after, before = plan.receipt.payable, kit.receipt.payable
    sums = [to_text(minor, brief.currency) for minor in (after, before)]
    yield f"With these packs {sums[0]} is payable instead of {sums[1]}."
