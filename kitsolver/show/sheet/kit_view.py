"""The view model of a kit: everything that the sheet and the page show of it, as text."""

from __future__ import annotations

from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.craft.colour import DIFFERENCE_UNIT
from kitsolver.shop.money import to_text
from kitsolver.show.from_home import from_home_text, home_rows
from kitsolver.show.sentences import (
    at_home_sentences,
    caution_sentences,
    check_sentences,
    fit_sentences,
    line_groups,
    till_rows,
)
from kitsolver.show.sheet.verdict import verdict
from kitsolver.solve.audit.evidence import Shade
from kitsolver.solve.outcome import Kit, Line, Outcome


def kit_view(outcome: Outcome, kit: Kit) -> dict[str, Any]:
    """Return what the templates show of a kit, by name."""
    brief = outcome.brief
    return {
        "kit": kit,
        "payable": to_text(kit.receipt.payable, brief.currency),
        "groups": [
            {"title": title, "lines": [_line(line, brief) for line in lines]}
            for title, lines in line_groups(kit)
        ],
        "bought_groups": [
            {"lines": [_line(line, brief) for line in lines if line.bought or not line.listed]}
            for _, lines in line_groups(kit)
        ],
        "home_rows": list(home_rows(kit)),
        "fit_sentences": list(fit_sentences(kit, brief)),
        "at_home_sentences": list(at_home_sentences(brief)),
        "till": [
            {
                "name": name.replace(", ", "_").replace(" ", "_"),
                "sum": to_text(amount, brief.currency),
            }
            for name, amount in till_rows(kit, brief)
        ],
        "shades": [shade_view(shade) for shade in kit.shades],
        "verdict_sentences": list(verdict(outcome, kit)),
        "check_sentences": list(check_sentences(kit)),
        # The shop's margin is left out: the customer reads this.
        "checks": [check for check in kit.checks if check.rule != "margin"],
        "caution_sentences": list(caution_sentences(kit, brief)),
    }


def _line(line: Line, brief: Brief) -> dict[str, Any]:
    owned = line.sku in brief.choose.own
    return {
        "units": line.units,
        "bought": line.bought,
        "name": line.name,
        "sku": line.sku,
        "category": line.category,
        "each": "owned" if owned else to_text(line.price, brief.currency),
        "total": to_text(line.total, brief.currency),
        "quality": f"{line.quality / 100:g}",
        "owned": owned,
        "from_home": from_home_text(line),
        "all_from_home": line.listed and not line.bought,
    }


def shade_view(shade: Shade) -> dict[str, Any]:
    """Return what the templates show of a shade, by name."""
    return {
        "charted": shade.chart_colour,
        "thread": shade.thread_colour,
        "sku": shade.sku or "home",
        "stitches": shade.stitches,
        "difference": f"{shade.difference / DIFFERENCE_UNIT:.2f}",
        "skeins": shade.skeins,
    }
