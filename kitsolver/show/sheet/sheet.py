"""A kit as one page of HTML to print: for the customer, for the shelf, for a class."""

from __future__ import annotations

from enum import StrEnum
from functools import cache
from math import ceil
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined

from kitsolver.brief.asked import Brief
from kitsolver.craft.colour import DIFFERENCE_UNIT
from kitsolver.explain.around import Around
from kitsolver.explain.nokit.nokit import NoKit
from kitsolver.explain.reach import Reached
from kitsolver.shop.money import to_text
from kitsolver.show.sheet.drawing import drawing_of
from kitsolver.show.sheet.look import DAY, NIGHT, tokens
from kitsolver.show.sheet.steps import HEIGHT, WIDTH, steps_of
from kitsolver.show.told import (
    at_home,
    cautions,
    fit_told,
    grouped,
    plain,
    till_rows,
    unchecked,
    verdict,
)
from kitsolver.solve.outcome import Kit, Line, Outcome

# Crosses an hour that a beginner makes (fact of the trade, no source).
_CROSSES_AN_HOUR = (50, 75)


class Reader(StrEnum):
    """Whom a sheet is for."""

    CUSTOMER = "customer"
    SHOP = "shop"
    CLASS = "class"


def sheet_html(
    outcome: Outcome,
    why: NoKit | None = None,
    around: Around | None = None,
    reader: Reader = Reader.CUSTOMER,
    copies: int = 1,
) -> str:
    """Return the sheet of a kit, or of why there is none, as one page that needs nothing else.

    Parameters
    ----------
    outcome : Outcome
        What is shown.
    why : NoKit, optional
        Why there is no kit, if there is none.
    around : Around, optional
        What stands around the kit; left out of the shop's and the class's sheet.
    reader : Reader
        Whom it is for.
    copies : int
        How many such kits the shop is to pick.
    """
    brief, kit = outcome.brief, outcome.kit
    page: dict[str, Any] = {
        "title": brief.title or "A kit",
        "currency": brief.currency,
        "cap": to_text(brief.total_cap, brief.currency),
        "heads": brief.heads,
        "reader": str(reader),
        "copies": copies,
        "day": tokens(DAY),
        "night": tokens(NIGHT),
        "why": why,
        "kit": None,
    }
    if kit is not None:
        page |= _kit(outcome, kit, around, copies)
    return _templates().get_template("sheet.html").render(page)


@cache
def _templates() -> Environment:
    return Environment(
        loader=PackageLoader("kitsolver.show.sheet", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def _kit(outcome: Outcome, kit: Kit, around: Around | None, copies: int) -> dict[str, Any]:
    brief = outcome.brief
    return {
        "kit": kit,
        "payable": to_text(kit.receipt.payable, brief.currency),
        "groups": [
            {"title": title, "lines": [_line(line, brief, copies) for line in lines]}
            for title, lines in grouped(kit)
        ],
        "shelves": _shelves(kit, brief, copies),
        "fit_told": list(fit_told(kit, brief)),
        "at_home": list(at_home(brief)),
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
        "verdict": list(verdict(outcome, kit)),
        "checked": list(unchecked(kit)),
        "checks": kit.checks,
        "cautions": list(cautions(kit, brief)),
        "drawing": drawing_of(kit, brief),
        "steps": around and steps_of(around.ladder),
        "frame": (WIDTH, HEIGHT),
        "reached": [_reached(one, kit, brief) for one in (around.reached if around else ())],
        "hours": _hours(kit),
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


def _reached(one: Reached, kit: Kit, brief: Brief) -> dict[str, str]:
    here = {line.sku for line in kit.lines}
    new = [line.name for line in one.kit.lines if line.sku not in here]
    return {
        "missing": to_text(one.cap - brief.total_cap, brief.currency),
        "quality": plain(one.kit.figures.quality),
        "extras": plain(one.kit.figures.extras),
        "new": ", ".join(new) or "the same goods",
    }


def _hours(kit: Kit) -> tuple[int, int] | None:
    """Return between how many hours a beginner takes for the design; None where not known."""
    stitches = sum(shade.stitches for shade in kit.shades)
    if not stitches:
        return None
    slow, quick = _CROSSES_AN_HOUR
    return ceil(stitches / quick), ceil(stitches / slow)


def _needles(kit: Kit) -> int:
    """Return how many rows of needles are handed out, to be counted out and in."""
    return sum(line.units for line in kit.lines if line.category == "needle")
