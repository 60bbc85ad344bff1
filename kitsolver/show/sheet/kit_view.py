"""A kit laid out by what it makes, as pages show it: names and sums as text."""

from __future__ import annotations

from math import ceil
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.craft.colour import DIFFERENCE_UNIT
from kitsolver.shop.money import to_text
from kitsolver.show.class_plan import plan_sentences
from kitsolver.show.sentences import (
    at_home_sentences,
    caution_sentences,
    check_sentences,
    cloth_warnings,
    fit_sentences,
    line_groups,
    till_rows,
    verdict_sentences,
)
from kitsolver.show.sheet.fabric_drawing import fabric_drawing
from kitsolver.solve.class_plan import ClassPlan
from kitsolver.solve.outcome import Kit, Line, Outcome

# Crosses an hour that a beginner makes (fact of the trade, no source).
_CROSSES_AN_HOUR = (50, 75)


def kit_view(outcome: Outcome, kit: Kit, copies: int = 1) -> dict[str, Any]:
    """Return all that a page tells of a kit, of which there are to be some copies."""
    brief = outcome.brief
    return {
        "kit": kit,
        "payable": to_text(kit.receipt.payable, brief.currency),
        "groups": [
            {"title": title, "lines": [_line(line, brief, copies) for line in lines]}
            for title, lines in line_groups(kit)
        ],
        "shelves": _shelves(kit, brief, copies),
        "fit_sentences": list(fit_sentences(kit, brief)),
        "at_home_sentences": list(at_home_sentences(brief)),
        "till": [
            {"name": name, "sum": to_text(amount, brief.currency)}
            for name, amount in till_rows(kit, brief)
        ],
        "shades": [
            {
                "charted": shade.chart_colour,
                "thread": shade.thread_colour,
                "sku": shade.sku or "home",
                "stitches": shade.stitches,
                "difference": f"{shade.difference / DIFFERENCE_UNIT:.2f}",
                "skeins": shade.skeins,
            }
            for shade in kit.shades
        ],
        "strip": [(shade.chart_colour, shade.thread_colour) for shade in kit.shades]
        if brief.shades.free
        else [],
        "verdict_sentences": [*verdict_sentences(outcome, kit), *cloth_warnings(kit)],
        "check_sentences": list(check_sentences(kit)),
        # What is left to the shop is nobody else's business.
        "checks": [check for check in kit.checks if check.rule != "margin"],
        "caution_sentences": list(caution_sentences(kit, brief)),
        "drawing": fabric_drawing(kit, brief),
        "hours": _hours(kit),
        "plan": list(plan_sentences(outcome.plan, kit, brief)) if outcome.plan else [],
        "share": _share(outcome.plan),
        "needles": _needles(kit),
    }


def _line(line: Line, brief: Brief, copies: int) -> dict[str, Any]:
    owned = line.sku in brief.choose.own
    return {
        "units": line.units,
        "all_units": line.units * copies,
        "name": line.name,
        "sku": line.sku,
        "category": line.category,
        "each": "owned" if owned else to_text(line.price, brief.currency),
        "total": to_text(line.total, brief.currency),
        "owned": owned,
    }


def _shelves(kit: Kit, brief: Brief, copies: int) -> list[dict[str, Any]]:
    """Return what is to be taken from each of the shop's shelves; what is owned is not."""
    taken = [line for line in kit.lines if line.sku not in brief.choose.own]
    return [
        {
            "category": category,
            "lines": [_line(x, brief, copies) for x in taken if x.category == category],
        }
        for category in sorted({line.category for line in taken})
    ]


def _hours(kit: Kit) -> tuple[int, int] | None:
    """Return between how many hours a beginner takes for the design; None where not known."""
    stitches = float(sum(shade.stitches for shade in kit.shades))
    if not stitches:
        return None
    slow, quick = _CROSSES_AN_HOUR
    return ceil(stitches / quick), ceil(stitches / slow)


def _share(plan: ClassPlan | None) -> list[dict[str, Any]]:
    """Return what each table and each head gets of every shade."""
    return [
        {
            "thread": one.thread_colour,
            "sku": one.sku or "home",
            "skeins": one.skeins_a_table,
            "metres": "" if one.metres_a_head is None else f"{one.metres_a_head}",
        }
        for one in (plan.shared if plan else ())
    ]


def _needles(kit: Kit) -> int:
    """Return how many rows of needles are handed out, to be counted out and in."""
    return sum(line.units for line in kit.lines if line.category == "needle")
