"""From a selection to a kit: its lines, its shades and how the design lies on the fabric."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from kitsolver.craft import fit as cloth
from kitsolver.craft.cutting import pieces
from kitsolver.craft.thread import strands
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.audit.evidence import Shade
from kitsolver.solve.candidates.candidate import Candidate, Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.quantities import cut_of, pools, skeins_of, uncut_size
from kitsolver.solve.figures import figures
from kitsolver.solve.outcome import FitFigures, Kit, Line
from kitsolver.solve.tally import tally


def kit_of(selection: Selection, candidates: Candidates, catalogue: Catalogue) -> Kit:
    """Return the kit of a selection, not yet audited."""
    sums = tally(selection, candidates)

    def line(candidate: Candidate, role: str) -> Line:
        return Line(
            sku=candidate.sku,
            name=catalogue.row(candidate.sku)["name"],
            category=candidate.category,
            role=role,
            units=sums.units[candidate.sku],
            price=candidate.price,
            quality=candidate.points,
        )

    return Kit(
        lines=(
            *(line(candidate, "need") for candidate in _needed(selection, candidates)),
            *(line(extra, "extra") for extra in selection.extras),
        ),
        receipt=sums.receipt,
        figures=figures(sums, candidates),
        shades=tuple(_shades(selection, candidates)),
        fit=_fit(selection, candidates),
        currency=candidates.brief.currency,
        trade_cost=None if candidates.brief.most_trade_cost is None else sums.total("trade_cost"),
    )


def _needed(selection: Selection, candidates: Candidates) -> Iterator[Candidate]:
    for category in candidates.brief.holds:
        if category == "thread" and candidates.matches_thread:
            threads = {place.thread.sku: place.thread for place in selection.places}
            yield from (threads[sku] for sku in sorted(threads) if sku)
        elif category in selection.needs and selection.needs[category].sku:
            yield selection.needs[category]


def _shades(selection: Selection, candidates: Candidates) -> Iterator[Shade]:
    chart, fabric = selection.chart, selection.fabric
    if not candidates.matches_thread:
        return
    number, _ = pools(candidates.brief)
    for place, asked in zip(selection.places, chart.shades or (), strict=True):
        yield Shade(
            chart_colour=asked.colour,
            stitches=asked.stitches,
            backstitch=asked.backstitch,
            kind=asked.kind,
            sku=place.thread.sku or None,
            thread_colour=place.colour,
            difference=place.difference,
            skeins=number * skeins_of(place, asked, fabric.count, candidates.brief),
        )


def _fit(selection: Selection, candidates: Candidates) -> FitFigures:
    chart, fabric, fit = selection.chart, selection.fabric, candidates.brief.fit
    uncut = uncut_size(chart, fabric, candidates.brief)
    known = FitFigures(
        effective_count=fabric.count,
        fabric=uncut,
        rolled=bool(fabric.roll),
        cloth=fabric.colour or None,
    )
    if fabric.count is None:
        return known
    plies = fit.strands or strands(fabric.count)
    cut = cut_of(chart, fabric.count, fit)
    if chart.size is None or cut is None:
        return replace(known, strands=plies)
    finished = cloth.finished_size(*chart.size, fabric.count)
    known = replace(known, strands=plies, finished=finished, cut=cut)
    if uncut is None:
        return known
    return replace(
        known,
        turned=cloth.must_turn(cut, uncut),
        pieces=pieces(cut, uncut),
        repeats=cloth.repeats(finished, fit.margin, uncut),
    )
