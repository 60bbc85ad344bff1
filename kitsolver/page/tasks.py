"""The tasks that worker processes do for views: questions about a catalogue, and reading briefs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.brief.reading import brief_from_text, brief_of
from kitsolver.brief.settings import with_changes
from kitsolver.brief.validate_against import validate_against
from kitsolver.explain.answer import Answer, answer
from kitsolver.explain.around import around
from kitsolver.explain.lines import Instead, instead
from kitsolver.explain.others import Others
from kitsolver.explain.others import others as other_kits
from kitsolver.explain.why_not import WhyNot, why_not
from kitsolver.page.address import Address
from kitsolver.page.catalogue_summary import CatalogueSummary
from kitsolver.page.catalogue_to_read import CATALOGUES_REMEMBERED, CatalogueToRead, catalogue_of
from kitsolver.page.everyday import skus_named
from kitsolver.page.page_findings import HomeListNamed, NotEnoughInStock, NotUnderstood
from kitsolver.page.wishes.filled_in import SOURCE, brief_from
from kitsolver.page.wishes.values import Values
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.findings import BadInput
from kitsolver.show.buying_list import buying_list
from kitsolver.show.sheet.goods_facts import GoodsFacts
from kitsolver.show.sheet.paper import Paper
from kitsolver.show.sheet.sheet import Reader, sheet_html
from kitsolver.show.shortage import shortage_sentences
from kitsolver.solve.engine import Solver
from kitsolver.solve.outcome import Kit, Status
from kitsolver.solve.presolve.row_memory import RowMemory
from kitsolver.solve.time_limit import TimeLimit

# How long the best kit is looked for before the best so far is shown, in seconds; and how long
# anything else is looked for. A task that takes much longer than that is ended with its worker.
PICKING, SEARCHING, ENDED = 8.0, 15.0, 40.0
# How long the reading of what somebody wrote may take, in seconds.
READING = 5.0

_ROWS_SHOWN = 24
# Of each catalogue so many rows are remembered as candidates, some 1.5 KB each.
_ROWS_REMEMBERED = 20_000


def brief_of_address(address: Address) -> Brief:
    """Return the brief of an address."""
    return _read(lambda: address.brief, "the address")


def brief_of_text(text: str) -> Brief:
    """Return the brief of TOML text."""
    return _read(lambda: brief_from_text(text, "the brief"), "the brief")


def brief_of_body(data: Mapping[str, Any], sets: Sequence[str], cap: str | None) -> Brief:
    """Return the brief of the body of a request."""
    return _read(lambda: brief_of(with_changes(data, sets, cap, "sets")), "the request")


def brief_of_form(values: Values, before: Brief | None, summary: CatalogueSummary) -> Brief:
    """Return the brief of a form that was filled in."""
    return _read(lambda: brief_from(values, before, summary), SOURCE)


def _read(read: Any, place: str) -> Brief:
    """Return a brief that is read; what is nested too deeply is bad input, and no fault."""
    try:
        brief: Brief = read()
    except RecursionError:
        detail = "This is nested too deeply"
        raise BadInput([NotUnderstood(file=place, detail=detail)]) from None
    named = [
        HomeListNamed(file=place, column=f"home.{key}")
        for key, value in (("from", brief.home.source), ("columns", brief.home.columns))
        if value is not None
    ]
    if named:
        raise BadInput(named)
    return brief


def check(source: CatalogueToRead, brief: Brief) -> None:
    """Hold a brief against a catalogue.

    Raises
    ------
    BadInput
        With every finding, if it names what the catalogue does not have.
    """
    validate_against(brief, catalogue_of(source), SOURCE)


@dataclass(frozen=True)
class TimedAnswer:
    """An answer, and whether it is complete: nothing in it was given up for want of time.

    `facts` are of the goods of its kit, and of those that are named where there is none.
    """

    answer: Answer
    complete: bool
    facts: GoodsFacts = field(default_factory=GoodsFacts)


def kit(source: CatalogueToRead, brief: Brief, seconds: float = PICKING) -> TimedAnswer:
    """Return the best kit, or why there is none."""
    catalogue = catalogue_of(source)
    limit = TimeLimit(seconds)
    found = answer(catalogue, brief, seconds=seconds, memory=_memory_of(source))
    complete = bool(limit.left) and found.outcome.status is not Status.BEST_SO_FAR
    lines = found.outcome.kit.lines if found.outcome.kit else ()
    told = [*found.why.because, *(mend.says for mend in found.why.mends)] if found.why else []
    skus = [*(line.sku for line in lines), *brief.choose.skus, *skus_named(told)]
    return TimedAnswer(found, complete, GoodsFacts.of(catalogue, skus))


@lru_cache(CATALOGUES_REMEMBERED)
def _memory_of(_: CatalogueToRead) -> RowMemory:
    """Return what is known of a catalogue's rows from briefs before: changes treat most alike."""
    return RowMemory(_ROWS_REMEMBERED)


def names_of(source: CatalogueToRead, skus: Sequence[str]) -> dict[str, str]:
    """Return the names of those rows that there are, by sku."""
    catalogue = catalogue_of(source)
    return {sku: catalogue.row(sku)["name"] for sku in skus if sku in catalogue}


def is_listed(source: CatalogueToRead, sku: str) -> bool:
    """Tell whether the home list has a row."""
    return catalogue_of(source).at_home(sku) is not None


def sheet(source: CatalogueToRead, brief: Brief, reader: Reader, copies: int, paper: Paper) -> str:
    """Return the sheet of the best kit.

    Raises
    ------
    BadInput
        If the stock does not make so many copies of it.
    """
    catalogue = catalogue_of(source)
    outcome, why = answer(catalogue, brief, seconds=PICKING)
    if lacking := list(shortage_sentences(outcome, copies, catalogue)):
        found = [
            NotEnoughInStock(file="copies", value=str(copies), detail=each.rstrip("."))
            for each in lacking
        ]
        raise BadInput(found)
    beside = None
    if outcome.kit is not None and reader is Reader.CUSTOMER and paper.full:
        beside = around(catalogue, brief, solver=Solver.SCIP, seconds=SEARCHING)
    return sheet_html(outcome, why, beside, reader, copies, replace(paper, catalogue=catalogue))


def buying_list_of(source: CatalogueToRead, brief: Brief) -> str:
    """Return the buying list of the best kit."""
    catalogue = catalogue_of(source)
    return buying_list(answer(catalogue, brief, seconds=PICKING).outcome, catalogue)


@dataclass(frozen=True)
class Row:
    """A row of the catalogue as it is shown, and whether a home list has it."""

    sku: str
    name: str
    category: str
    price: str
    quality: str
    tags: str
    colours: tuple[str, ...]
    listed: bool


def rows_with(source: CatalogueToRead, words: str) -> tuple[int, tuple[Row, ...]]:
    """Return how many rows have all of some words in sku, name, category or tags, and the first."""
    catalogue = catalogue_of(source)
    shown = catalogue.cells
    columns = [shown[name] for name in ("sku", "name", "category", "tags") if name in shown]
    texts = (" ".join(cells).casefold() for cells in zip(*columns, strict=True))
    wanted = set(words.casefold().split())
    skus = [
        sku
        for sku, text in zip(shown["sku"], texts, strict=True)
        if all(word in text for word in wanted)
    ]
    return len(skus), tuple(_row(catalogue, sku) for sku in sorted(skus)[:_ROWS_SHOWN])


def _row(catalogue: Catalogue, sku: str) -> Row:
    cells = catalogue.row(sku)
    name, category, price, quality, tags = (
        cells.get(column, "") for column in ("name", "category", "price", "quality", "tags")
    )
    colours = GoodsFacts.of(catalogue, [sku]).colours(sku)
    listed = catalogue.at_home(sku) is not None
    return Row(sku, name, category, price, quality, tags, colours, listed)


def others(source: CatalogueToRead, brief: Brief, number: int) -> Others:
    """Return the best kit and others that come close."""
    return other_kits(catalogue_of(source), brief, number, seconds=SEARCHING)


def in_place_of(source: CatalogueToRead, brief: Brief, best: Kit, sku: str) -> Instead | None:
    """Return what a line of the best kit could give way to; None if it has no such line."""
    time_limit = TimeLimit(SEARCHING)
    catalogue = catalogue_of(source)
    return next(
        instead(catalogue, brief, best, solver=Solver.SCIP, time_limit=time_limit, sku=sku), None
    )


def why(source: CatalogueToRead, brief: Brief, sku: str) -> WhyNot:
    """Return why a row is in the best kit, or why not."""
    return why_not(catalogue_of(source), brief, sku, seconds=SEARCHING)
