"""The view model of a kit: everything that the sheet and the page show of it, as text."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.craft.colour import DIFFERENCE_UNIT
from kitsolver.shop.money import to_text
from kitsolver.show.class_plan import plan_sentences, time_sentence
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
from kitsolver.solve.audit.evidence import Shade
from kitsolver.solve.class_plan import ClassPlan
from kitsolver.solve.outcome import Kit, Line, Outcome
from kitsolver.solve.planning.stitching_time import stitching_time


def kit_view(outcome: Outcome, kit: Kit, copies: int = 1) -> dict[str, Any]:
    """Return what the templates show of a kit that is made in some copies, by name."""
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
        "shades": [_shade(shade) for shade in kit.shades],
        "strip": [(shade.chart_colour, shade.thread_colour) for shade in kit.shades]
        if brief.shades.free
        else [],
        "verdict_sentences": [*verdict_sentences(outcome, kit), *cloth_warnings(kit)],
        "check_sentences": list(check_sentences(kit)),
        # The shop's margin is left out: the customer reads this.
        "checks": [check for check in kit.checks if check.rule != "margin"],
        "caution_sentences": list(caution_sentences(kit, brief)),
        "drawing": fabric_drawing(kit, brief),
        "plan_sentences": list(_plan_sentences(outcome, kit)),
        "thread_shares": _thread_shares(outcome.plan),
        "needles": sum(line.units for line in kit.lines if line.category == "needle"),
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
    """Return the lines to pick by category; without the rows that are owned."""
    picked = [line for line in kit.lines if line.sku not in brief.choose.own]
    return [
        {
            "category": category,
            "lines": [_line(line, brief, copies) for line in picked if line.category == category],
        }
        for category in sorted({line.category for line in picked})
    ]


def _shade(shade: Shade) -> dict[str, Any]:
    return {
        "charted": shade.chart_colour,
        "thread": shade.thread_colour,
        "sku": shade.sku or "home",
        "stitches": shade.stitches,
        "difference": f"{shade.difference / DIFFERENCE_UNIT:.2f}",
        "skeins": shade.skeins,
    }


def _plan_sentences(outcome: Outcome, kit: Kit) -> Iterator[str]:
    """Yield the plan of a class; of a single kit, which has no plan, how long it takes."""
    if outcome.plan is not None:
        yield from plan_sentences(outcome.plan, kit, outcome.brief)
        return
    time = stitching_time((shade.stitches for shade in kit.shades), outcome.brief.lesson)
    if time is not None:
        yield time_sentence(time)


def _thread_shares(plan: ClassPlan | None) -> list[dict[str, Any]]:
    """Return what each table and each head gets of every shade."""
    return [
        {
            "thread": share.thread_colour,
            "sku": share.sku or "home",
            "skeins": share.skeins_a_table,
            "metres": "" if share.metres_a_head is None else f"{share.metres_a_head}",
        }
        for share in (plan.thread_shares if plan else ())
    ]
