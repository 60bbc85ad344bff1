"""A kit, or why there is none, as one JSON object: money as decimal strings, figures as numbers."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

from kitsolver.brief.brief import Brief
from kitsolver.craft.colour import DIFFERENCE_UNIT
from kitsolver.craft.lengths import rounded
from kitsolver.craft.thread import USUAL_KIND
from kitsolver.shop.money import to_text
from kitsolver.show.class_plan import plan_record
from kitsolver.show.json_record import (
    JsonObject,
    bound_record,
    check_records,
    figure_number,
    no_kit_record,
    size_cm,
    skipped_records,
)
from kitsolver.show.sentences import cloth_warnings
from kitsolver.solve.audit.evidence import Shade
from kitsolver.solve.outcome import FitFigures, Kit, Line, Outcome, Rung

if TYPE_CHECKING:
    from kitsolver.explain.no_kit.why_no_kit import NoKit

# The keys of a kit where there is none.
_NO_KIT: JsonObject = {
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


def record_of(outcome: Outcome, why: NoKit | None = None) -> JsonObject:
    """Return an outcome as a JSON object, schema ``kitsolver/kit/1``.

    Parameters
    ----------
    outcome : Outcome
        What `pick` returned.
    why : NoKit, optional
        Why there is no kit, if there is none.
    """
    brief, kit = outcome.brief, outcome.kit
    head: JsonObject = {
        "schema": "kitsolver/kit/1",
        "status": str(outcome.status),
        "title": brief.title,
        "currency": brief.currency,
        "heads": brief.heads,
        "cap": to_text(brief.total_cap, brief.currency),
    }
    body = _NO_KIT if kit is None else _kit(kit, brief.total_cap)
    record = head | body | {"next_rung": None, "skipped": skipped_records(outcome.row_counts)}
    if kit is not None and (warnings := list(cloth_warnings(kit))):
        record["warnings"] = warnings
    if kit is not None and kit.home is not None:
        rows = [dict(row.cells) for row in kit.home.rows.values()]
        record["home"] = {"source": kit.home.name, "rows": rows}
    if kit is not None and outcome.plan is not None:
        record["plan"] = plan_record(outcome.plan, kit, brief)
    if kit is not None and kit.trade_cost is not None:
        record["margin"] = _margin(kit, brief)
    if outcome.bound is not None:
        record["bound"] = bound_record(outcome.bound, brief.currency)
    if outcome.next_rung is not None:
        record["next_rung"] = _next_rung(outcome.next_rung, brief)
    if why is not None:
        record["why"] = no_kit_record(why, brief.currency)
    return record | {"brief": brief.model_dump(mode="json")}


def _margin(kit: Kit, brief: Brief) -> JsonObject:
    """Return what the shop keeps of the price. No page for customers may show it."""
    cost, sold = kit.trade_cost or 0, brief.minor(brief.shop.sell_at or Decimal(0))
    least = brief.least_sell_at(cost)
    return {
        "sell_at": to_text(sold, brief.currency),
        "cost": to_text(cost, brief.currency),
        "margin": to_text(sold - cost, brief.currency),
        "margin_rate": figure_number(Fraction(sold - cost, sold)) if sold else None,
        "least_sell_at": None if least is None else to_text(least, brief.currency),
        "singly": to_text(kit.receipt.goods, brief.currency),
    }


def _next_rung(rung: Rung, brief: Brief) -> JsonObject:
    return {
        "cap": to_text(rung.cap, brief.currency),
        "missing": to_text(rung.cap - brief.total_cap, brief.currency),
        "quality": figure_number(rung.figures.quality),
        "extras_quality": figure_number(rung.figures.extras),
    }


def _kit(kit: Kit, cap: int) -> JsonObject:
    receipt, currency = kit.receipt, kit.currency
    return {
        "goods": to_text(receipt.goods, currency),
        "discount": to_text(receipt.discount, currency),
        "delivery": to_text(receipt.delivery, currency),
        "tax": to_text(receipt.tax, currency),
        "payable": to_text(receipt.payable, currency),
        "left": to_text(cap - receipt.payable, currency),
        "quality": figure_number(kit.figures.quality),
        "extras_quality": figure_number(kit.figures.extras),
        "bound": None,
        "lines": [_line(line, currency) for line in kit.lines],
        "shades": [_shade(shade) for shade in kit.shades],
        "fit": _fit(kit.fit),
        "checks": check_records(kit.checks),
    }


def _line(line: Line, currency: str) -> JsonObject:
    metres: JsonObject = {}
    if line.metres_from_home is not None and line.metres_left is not None:
        metres["from_home_m"] = float(line.metres_from_home)
        metres["left_after_m"] = float(line.metres_left)
    return metres | {
        "sku": line.sku,
        "name": line.name,
        "category": line.category,
        "role": line.role,
        "units": line.units,
        "from_home": line.from_home,
        "price": to_text(line.price, currency),
        "line_total": to_text(line.total, currency),
        "quality": line.quality / 100,
    }


def _shade(shade: Shade) -> JsonObject:
    unusual: JsonObject = {}
    if shade.backstitch:
        unusual["backstitch_cm"] = float(rounded(shade.backstitch))
    if shade.kind != USUAL_KIND:
        unusual["kind"] = shade.kind
    whole = shade.stitches == int(shade.stitches)
    return unusual | {
        "chart_colour": shade.chart_colour,
        "stitches": int(shade.stitches) if whole else float(shade.stitches),
        "sku": shade.sku,
        "thread_colour": shade.thread_colour,
        "difference": shade.difference / DIFFERENCE_UNIT,
        "skeins": shade.skeins,
    }


def _fit(fit: FitFigures) -> JsonObject:
    count = fit.effective_count
    return {
        "strands": fit.strands,
        "effective_count": None if count is None else figure_number(count),
        "finished_cm": None if fit.finished is None else size_cm(fit.finished),
        "cut_cm": None if fit.cut is None else size_cm(fit.cut),
        "fabric_cm": None if fit.fabric is None else size_cm(fit.fabric),
        "turned": fit.turned,
        "pieces": fit.pieces,
        "repeats": fit.repeats,
    }
