"""A result as one JSON object: money as decimal strings, figures as numbers."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

from kitsolver.brief.brief import Brief
from kitsolver.craft.colour import DIFFERENCE_UNIT
from kitsolver.craft.fit import Size
from kitsolver.craft.lengths import rounded
from kitsolver.craft.thread import USUAL_KIND
from kitsolver.shop.money import to_text
from kitsolver.show.class_plan import plan_record
from kitsolver.show.json_record import JsonObject, figure_number, no_kit_record
from kitsolver.show.sentences import cloth_warnings
from kitsolver.solve.audit.evidence import Shade
from kitsolver.solve.figures import Figures
from kitsolver.solve.outcome import FitFigures, Kit, Outcome, Rung

if TYPE_CHECKING:
    from kitsolver.explain.no_kit.why_no_kit import NoKit


def record_of(outcome: Outcome, why: NoKit | None = None) -> JsonObject:
    """Return the record of an outcome, schema ``kitsolver/kit/1``, with why there is no kit."""
    brief, kit = outcome.brief, outcome.kit
    head: JsonObject = {
        "schema": "kitsolver/kit/1",
        "status": str(outcome.status),
        "title": brief.title,
        "currency": brief.currency,
        "heads": brief.heads,
        "cap": to_text(brief.total_cap, brief.currency),
    }
    body = _NOTHING if kit is None else _kit(kit, brief.total_cap, brief.currency)
    record = head | body | {"next_rung": None}
    if kit is not None and (told := list(cloth_warnings(kit))):
        record["warnings"] = told
    if kit is not None and outcome.plan is not None:
        record["plan"] = plan_record(outcome.plan, kit, brief)
    if kit is not None and kit.trade_cost is not None:
        record["margin"] = margin_record(kit, brief)
    if outcome.bound is not None:
        record["bound"] = _bound(outcome.bound, brief.currency)
    if outcome.next_rung is not None:
        record["next_rung"] = _next_rung(outcome.next_rung, brief)
    if why is not None:
        record["why"] = no_kit_record(why, brief.currency)
    return record | {"brief": brief.model_dump(mode="json")}


def margin_record(kit: Kit, brief: Brief) -> JsonObject:
    """Return what a kit leaves the shop: never for customers."""
    cost, sold = kit.trade_cost or 0, brief.minor(brief.shop.sell_at or Decimal(0))
    return {
        "sell_at": to_text(sold, brief.currency),
        "cost": to_text(cost, brief.currency),
        "margin": to_text(sold - cost, brief.currency),
        "margin_rate": figure_number(Fraction(sold - cost, sold)) if sold else None,
        "singly": to_text(kit.receipt.goods, brief.currency),
    }


_NOTHING: JsonObject = {
    "goods": None,
    "discount": None,
    "delivery": None,
    "tax": None,
    "payable": None,
    "left": None,
    "quality": None,
    "extras_quality": None,
    "bound": None,
    "lines": [],
    "shades": [],
    "fit": None,
    "checks": [],
}


def _next_rung(rung: Rung, brief: Brief) -> JsonObject:
    return {
        "cap": to_text(rung.cap, brief.currency),
        "missing": to_text(rung.cap - brief.total_cap, brief.currency),
        "quality": figure_number(rung.figures.quality),
        "extras_quality": figure_number(rung.figures.extras),
    }


def _kit(kit: Kit, cap: int, currency: str) -> JsonObject:
    def money(minor: int) -> str:
        return to_text(minor, currency)

    sums = kit.receipt
    return {
        "goods": money(sums.goods),
        "discount": money(sums.discount),
        "delivery": money(sums.delivery),
        "tax": money(sums.tax),
        "payable": money(sums.payable),
        "left": money(cap - sums.payable),
        "quality": figure_number(kit.figures.quality),
        "extras_quality": figure_number(kit.figures.extras),
        "bound": None,
        "lines": [
            {
                "sku": line.sku,
                "name": line.name,
                "category": line.category,
                "role": line.role,
                "units": line.units,
                "price": money(line.price),
                "line_total": money(line.total),
                "quality": line.quality / 100,
            }
            for line in kit.lines
        ],
        "shades": [_shade(shade) for shade in kit.shades],
        "fit": _fit(kit.fit),
        "checks": [
            {"rule": check.rule, "holds": check.holds, "detail": check.detail}
            for check in kit.checks
        ],
    }


def _shade(shade: Shade) -> JsonObject:
    own: JsonObject = {}
    if shade.backstitch:
        own["backstitch_cm"] = float(rounded(shade.backstitch))
    if shade.kind != USUAL_KIND:
        own["kind"] = shade.kind
    whole = shade.stitches == int(shade.stitches)
    return own | {
        "chart_colour": shade.chart_colour,
        "stitches": int(shade.stitches) if whole else float(shade.stitches),
        "sku": shade.sku,
        "thread_colour": shade.thread_colour,
        "difference": shade.difference / DIFFERENCE_UNIT,
        "skeins": shade.skeins,
    }


def _fit(fit: FitFigures) -> JsonObject:
    return {
        "strands": fit.strands,
        "effective_count": None
        if fit.effective_count is None
        else figure_number(fit.effective_count),
        "finished_cm": _pair(fit.finished),
        "cut_cm": _pair(fit.cut),
        "fabric_cm": _pair(fit.fabric),
        "turned": fit.turned,
        "pieces": fit.pieces,
        "repeats": fit.repeats,
    }


def _bound(bound: Figures, currency: str) -> JsonObject:
    record: JsonObject = {
        "quality": figure_number(bound.quality),
        "extras_quality": figure_number(bound.extras),
        "payable": to_text(bound.payable, currency),
    }
    if bound.together is not None:
        record["together"] = figure_number(bound.together)
    return record


def _pair(size: Size | None) -> list[float] | None:
    return None if size is None else [float(rounded(side)) for side in size]
