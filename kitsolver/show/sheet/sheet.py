"""A kit on paper: for the customer, as a card, for the shop, for a class, for its office."""

from __future__ import annotations

from enum import StrEnum
from functools import cache
from importlib.resources import files
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.explain.around import Around
from kitsolver.explain.no_kit.why_no_kit import NoKit
from kitsolver.explain.reach import Reached
from kitsolver.shop.money import to_text
from kitsolver.show.sentences import caution_sentences, figure_text
from kitsolver.show.sheet.class_view import class_view
from kitsolver.show.sheet.fabric_drawing import fabric_drawing
from kitsolver.show.sheet.goods_facts import GoodsFacts
from kitsolver.show.sheet.kit_view import kit_view
from kitsolver.show.sheet.ladder_drawing import HEIGHT, WIDTH, across, ladder_drawing
from kitsolver.show.sheet.office_view import office_view
from kitsolver.show.sheet.paper import Paper
from kitsolver.show.sheet.picking_view import Picked, picking_view, shelf_column
from kitsolver.show.sheet.scene import scene_of
from kitsolver.show.sheet.strips import strips_of
from kitsolver.show.sheet.texts import texts
from kitsolver.show.sheet.theme import stylesheet, typeface
from kitsolver.show.skipped import skipped_sentences
from kitsolver.show.templates import templates
from kitsolver.solve.outcome import Kit, Outcome

# From so many lines on, a sheet is set in smaller type, so that it stays one page.
_DENSE, _DENSER = 15, 24
# How high the colours' strips are on a card, which has a page for them.
_CARD_STRIPS = 760.0


class Reader(StrEnum):
    """Whom a sheet is for."""

    CUSTOMER = "customer"
    CARD = "card"
    SHOP = "shop"
    CLASS = "class"
    OFFICE = "office"


def sheet_html(
    outcome: Outcome,
    why: NoKit | None = None,
    around: Around | None = None,
    reader: Reader = Reader.CUSTOMER,
    copies: int = 1,
    paper: Paper | None = None,
) -> str:
    """Return the sheet of a kit, or of why there is none, as one file of HTML.

    Parameters
    ----------
    outcome : Outcome
        What `pick` returned.
    why : NoKit, optional
        Why there is no kit, if there is none.
    around : Around, optional
        The ladder around the cap and the kits just above it; shown on a full customer's sheet.
    reader : Reader
        Whom the sheet is for.
    copies : int
        How many such kits the shop picks.
    paper : Paper, optional
        How the sheet is wished.
    """
    brief, kit, wished = outcome.brief, outcome.kit, paper or Paper()
    page = _frame(brief.title or "A kit", reader, wished) | {
        "currency": brief.currency,
        "cap": to_text(brief.total_cap, brief.currency),
        "heads": brief.heads,
        "copies": copies,
        "why": why,
        "skipped": list(skipped_sentences(outcome.row_counts)),
        "kit": None,
    }
    if kit is not None:
        facts = GoodsFacts.of(wished.catalogue, [line.sku for line in kit.lines])
        page |= kit_view(outcome, kit) | class_view(outcome, kit, facts)
        page |= {
            "scene": scene_of(kit, brief, facts),
            "drawing": fabric_drawing(kit, brief),
            "strips": strips_of(kit, brief, _CARD_STRIPS if reader is Reader.CARD else None),
            "steps": around and ladder_drawing(around.ladder),
            "cap_x": around and across(brief.total_cap, around.ladder.low, around.ladder.high),
            "frame": (WIDTH, HEIGHT),
            "reached": [_reached(one, kit, brief) for one in (around.reached if around else ())],
            "dense": _density(kit),
        }
        if reader is Reader.OFFICE:
            page["office"] = office_view(kit, brief, facts)
        if reader is Reader.SHOP:
            one = Picked(brief.title or "A kit", kit, brief, copies)
            page["picking"] = picking_view([one], facts, _shelf(wished))
    return _filled(page)


def _shelf(paper: Paper) -> str:
    """Return the column by which a picking list is laid out."""
    columns = paper.catalogue.cells.columns if paper.catalogue is not None else ()
    return shelf_column(columns, paper.shelf)


def picking_html(kits: list[Picked], title: str, paper: Paper) -> str:
    """Return one picking list for several kits."""
    page = _frame(title, Reader.SHOP, paper) | {"kit": kits, "copies": 1, "dense": ""}
    skus = [line.sku for one in kits for line in one.kit.lines]
    page["picking"] = picking_view(kits, GoodsFacts.of(paper.catalogue, skus), _shelf(paper))
    told = (sentence for one in kits for sentence in caution_sentences(one.kit, one.brief))
    return _filled(page | {"caution_sentences": list(dict.fromkeys(told))})


def _frame(title: str, reader: Reader, paper: Paper) -> dict[str, Any]:
    words = texts("kitsolver.show.sheet")
    return {
        "title": title,
        "reader": str(reader),
        "stylesheet": stylesheet(),
        "typeface": typeface(),
        "paper_styles": _styles(),
        "t": words,
        # Parts that the page shares know these texts by this name.
        "paper": words,
        "n": paper.style.shown,
        "day": paper.day and paper.style.day(paper.day),
        "full": paper.full,
        "size": paper.size,
        "dense": "",
    }


@cache
def _styles() -> str:
    return (files("kitsolver.show.sheet") / "static" / "paper.css").read_text(encoding="utf-8")


def _filled(page: dict[str, Any]) -> str:
    return templates("kitsolver.show.sheet").get_template("sheet.html").render(page)


def _density(kit: Kit) -> str:
    most = max(len(kit.lines), len(kit.shades))
    return "denser" if most >= _DENSER else "dense" if most >= _DENSE else ""


def _reached(one: Reached, kit: Kit, brief: Brief) -> dict[str, str]:
    held = {line.sku for line in kit.lines}
    new = [line.name for line in one.kit.lines if line.sku not in held]
    return {
        "missing": to_text(one.cap - brief.total_cap, brief.currency),
        "quality": figure_text(one.kit.figures.quality),
        "extras": figure_text(one.kit.figures.extras),
        "new": ", ".join(new) or "the same goods",
    }
