"""The tasks of worker processes: questions about a catalogue, and their answers."""

from __future__ import annotations

import pickle
from dataclasses import dataclass

from kitsolver.brief.brief import Brief
from kitsolver.brief.validate_against import validate_against
from kitsolver.explain.answer import Answer, answer
from kitsolver.explain.around import around
from kitsolver.explain.ladder import ladder
from kitsolver.explain.lines import Instead, instead
from kitsolver.explain.others import Others
from kitsolver.explain.others import others as other_kits
from kitsolver.explain.reach import Reached, out_of_reach
from kitsolver.explain.recheck.recheck import recheck as rechecked
from kitsolver.explain.recheck.saved import saved_of
from kitsolver.explain.why_not import WhyNot, why_not
from kitsolver.page.work import Shelf, catalogue_of
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.findings import Finding
from kitsolver.show.buying_list import buying_list
from kitsolver.show.json_record import JsonObject
from kitsolver.show.kit_record import record_of
from kitsolver.show.ladder import ladder_record
from kitsolver.show.others import others_record
from kitsolver.show.recheck import recheck_record
from kitsolver.show.sheet.ladder_drawing import LadderDrawing, ladder_drawing
from kitsolver.show.sheet.sheet import Reader, sheet_html
from kitsolver.show.why import why_not_record
from kitsolver.solve.engine import Solver
from kitsolver.solve.figures import Figures
from kitsolver.solve.outcome import Kit
from kitsolver.solve.time_limit import TimeLimit

# How long the best kit is looked for before the best so far has to do, in seconds; likewise for
# what stands around it. A task that has not come back long after is ended with its worker.
PICKING, CLIMBING, ENDED = 8.0, 15.0, 40.0

_ROWS_SHOWN = 24
_TAGS_SHOWN = 200
_CHARTS_SHOWN = 300


@dataclass(frozen=True)
class Look:
    """What there is in a catalogue, at a look.

    Parameters
    ----------
    rows : int
        How many are usable.
    categories, tags : tuple of str
        Sorted; of very many tags the first.
    charts : tuple of (str, str)
        Sku and name of each chart; empty if there are very many.
    findings : tuple of Finding
        Of its reading.
    """

    rows: int
    categories: tuple[str, ...]
    tags: tuple[str, ...]
    charts: tuple[tuple[str, str], ...]
    findings: tuple[Finding, ...]


def look(shelf: Shelf) -> Look:
    """Return what there is in a catalogue."""
    goods = catalogue_of(shelf)
    tags: set[str] = set()
    if "tags" in goods.text:
        tags = {tag.strip() for cell in goods.text["tags"].unique() for tag in cell.split(";")}
    charts: tuple[tuple[str, str], ...] = ()
    if "chart" in goods.shelves and len(goods.shelves["chart"]) <= _CHARTS_SHOWN:
        skus = sorted(goods.shelves["chart"]["sku"])
        charts = tuple((sku, goods.row(sku)["name"]) for sku in skus)
    return Look(
        rows=len(goods),
        categories=tuple(sorted(goods.shelves)),
        tags=tuple(sorted(tags - {""})[:_TAGS_SHOWN]),
        charts=charts,
        findings=goods.findings,
    )


def kit(shelf: Shelf, brief: Brief) -> Answer:
    """Return the best kit, or why there is none."""
    return answer(catalogue_of(shelf), brief, seconds=PICKING)


@dataclass(frozen=True)
class Stage:
    """A rung as it goes from one process to another.

    Parameters
    ----------
    cap : int
        The least at which its kit can be had, in minor units.
    figures : Figures
        The kit's.
    packed : bytes
        The kit, to be opened when it is looked at.
    """

    cap: int
    figures: Figures
    packed: bytes

    @property
    def kit(self) -> Kit:
        """The kit."""
        found: Kit = pickle.loads(self.packed)
        return found


@dataclass(frozen=True)
class ProvenRungs:
    """A ladder as it goes from one process to another.

    Parameters
    ----------
    low, high : int
        The caps at its ends, in minor units.
    stages : tuple of Stage
        In rising order, proven down to `proven_from`.
    steps : Steps or None
        The same as a line.
    """

    low: int
    high: int
    proven_from: int
    stages: tuple[Stage, ...]
    steps: LadderDrawing | None


def climb(shelf: Shelf, brief: Brief, high: int) -> ProvenRungs:
    """Return every rung from the cheapest kit up to a cap in minor units."""
    found = ladder(catalogue_of(shelf), brief, high=high, seconds=CLIMBING)
    stages = tuple(
        Stage(rung.cap, rung.kit.figures, pickle.dumps(rung.kit)) for rung in found.rungs
    )
    return ProvenRungs(found.low, found.high, found.proven_from, stages, ladder_drawing(found))


def sheet(shelf: Shelf, brief: Brief, reader: Reader, copies: int) -> str:
    """Return the sheet of the best kit."""
    goods = catalogue_of(shelf)
    outcome, why = answer(goods, brief, seconds=PICKING)
    beside = None
    if outcome.kit is not None and reader is Reader.CUSTOMER:
        beside = around(goods, brief, solver=Solver.SCIP, seconds=CLIMBING)
    return sheet_html(outcome, why, beside, reader, copies)


@dataclass(frozen=True)
class Row:
    """A row of the catalogue as it is shown."""

    sku: str
    name: str
    category: str
    price: str
    quality: str
    tags: str


def rows_with(shelf: Shelf, words: str) -> tuple[int, tuple[Row, ...]]:
    """Return how many rows have all of some words in sku, name, category or tags, and the first."""
    goods = catalogue_of(shelf)
    columns = [name for name in ("sku", "name", "category", "tags") if name in goods.text]
    texts = goods.text[columns].agg(" ".join, axis=1).str.casefold()
    mask = texts.map(lambda text: all(word in text for word in words.casefold().split()))
    skus = goods.text["sku"][mask]
    return len(skus), tuple(_row(goods, sku) for sku in sorted(skus)[:_ROWS_SHOWN])


def _row(goods: Catalogue, sku: str) -> Row:
    cells = goods.row(sku)
    texts = (cells.get(name, "") for name in ("name", "category", "price", "quality", "tags"))
    return Row(sku, *texts)


def others(shelf: Shelf, brief: Brief, number: int) -> Others:
    """Return the best kit and others that come close."""
    return other_kits(catalogue_of(shelf), brief, number, seconds=CLIMBING)


def in_place_of(shelf: Shelf, brief: Brief, best: Kit, sku: str) -> Instead | None:
    """Return what a line of the best kit could give way to; None if it has no such line."""
    time_limit = TimeLimit(CLIMBING)
    goods = catalogue_of(shelf)
    return next(
        instead(goods, brief, best, solver=Solver.SCIP, time_limit=time_limit, sku=sku), None
    )


def why(shelf: Shelf, brief: Brief, sku: str) -> WhyNot:
    """Return why a row is in the best kit, or why not."""
    return why_not(catalogue_of(shelf), brief, sku, seconds=CLIMBING)


def bought(shelf: Shelf, brief: Brief) -> str:
    """Return the buying list of the best kit."""
    goods = catalogue_of(shelf)
    return buying_list(answer(goods, brief, seconds=PICKING).outcome, goods)


def warnings(shelf: Shelf, brief: Brief) -> tuple[Finding, ...]:
    """Return what is to be said of a brief that is usable with a catalogue."""
    return validate_against(brief, catalogue_of(shelf))


def kit_record(shelf: Shelf, brief: Brief) -> JsonObject:
    """Return the record of the best kit, or of why there is none."""
    return record_of(*kit(shelf, brief))


def climb_record(shelf: Shelf, brief: Brief, low: int | None, high: int | None) -> JsonObject:
    """Return the record of the rungs between two caps in minor units."""
    goods = catalogue_of(shelf)
    return ladder_record(ladder(goods, brief, low=low, high=high, seconds=CLIMBING))


def kits_record(
    shelf: Shelf,
    brief: Brief,
    number: int,
    apart: int | None,
    tied: bool,
    beyond: int,
    lines: bool,
) -> JsonObject:
    """Return the record of other kits; of why there is none, if there is no kit at all."""
    goods, time_limit = catalogue_of(shelf), TimeLimit(ENDED / 2)
    found = other_kits(goods, brief, number, apart=apart, tied=tied, seconds=CLIMBING)
    if not found.kits:
        return kit_record(shelf, brief)
    reached: tuple[Reached, ...] = ()
    reached = out_of_reach(goods, brief, beyond, solver=Solver.SCIP, time_limit=time_limit)
    each = None
    if lines:
        each = list(instead(goods, brief, found.kits[0], solver=Solver.SCIP, time_limit=time_limit))
    return others_record(found, reached, each)


def sku_record(shelf: Shelf, brief: Brief, sku: str) -> JsonObject:
    """Return the record of why a row is in the best kit, or why not."""
    return why_not_record(why(shelf, brief, sku))


def saved_record(shelf: Shelf, data: JsonObject) -> JsonObject:
    """Return the record of a saved kit held against a catalogue."""
    found = rechecked(saved_of(data, "kit"), catalogue_of(shelf), seconds=CLIMBING)
    return recheck_record(found, found.nearest)


def saved_currency(data: JsonObject) -> str:
    """Return the currency of a saved kit."""
    return saved_of(data, "kit").brief.currency
