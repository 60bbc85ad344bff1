"""A kit as one page of HTML to print: for the customer, for the shop, for a class."""

from __future__ import annotations

from enum import StrEnum
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.explain.around import Around
from kitsolver.explain.no_kit.why_no_kit import NoKit
from kitsolver.explain.reach import Reached
from kitsolver.shop.money import to_text
from kitsolver.show.sentences import figure_text
from kitsolver.show.sheet.kit_view import kit_view
from kitsolver.show.sheet.ladder_drawing import HEIGHT, WIDTH, across, ladder_drawing
from kitsolver.show.sheet.theme import stylesheet
from kitsolver.show.skipped import skipped_sentences
from kitsolver.show.templates import templates
from kitsolver.solve.outcome import Kit, Outcome


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
    """Return the sheet of a kit, or of why there is none, as one file of HTML.

    Parameters
    ----------
    outcome : Outcome
        What `pick` returned.
    why : NoKit, optional
        Why there is no kit, if there is none.
    around : Around, optional
        The ladder around the cap and the kits just above it; shown to the customer only.
    reader : Reader
        Whom the sheet is for.
    copies : int
        How many such kits the shop picks.
    """
    brief, kit = outcome.brief, outcome.kit
    page: dict[str, Any] = {
        "title": brief.title or "A kit",
        "currency": brief.currency,
        "cap": to_text(brief.total_cap, brief.currency),
        "heads": brief.heads,
        "reader": str(reader),
        "copies": copies,
        "stylesheet": stylesheet(),
        "why": why,
        "skipped": list(skipped_sentences(outcome.row_counts)),
        "kit": None,
    }
    if kit is not None:
        page |= kit_view(outcome, kit, copies) | {
            "steps": around and ladder_drawing(around.ladder),
            "cap_x": around and across(brief.total_cap, around.ladder.low, around.ladder.high),
            "frame": (WIDTH, HEIGHT),
            "reached": [_reached(one, kit, brief) for one in (around.reached if around else ())],
        }
    return templates("kitsolver.show.sheet").get_template("sheet.html").render(page)


def _reached(one: Reached, kit: Kit, brief: Brief) -> dict[str, str]:
    held = {line.sku for line in kit.lines}
    new = [line.name for line in one.kit.lines if line.sku not in held]
    return {
        "missing": to_text(one.cap - brief.total_cap, brief.currency),
        "quality": figure_text(one.kit.figures.quality),
        "extras": figure_text(one.kit.figures.extras),
        "new": ", ".join(new) or "the same goods",
    }
