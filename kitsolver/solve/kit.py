"""From a selection to a kit: its lines, its shades and how the design lies on the fabric."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from kitsolver.brief.brief import Brief
from kitsolver.craft import fit as cloth
from kitsolver.craft.cutting import pieces
from kitsolver.craft.part_used import Surd, hundredths
from kitsolver.craft.thread import strands
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.home_list import HomeList, decimal_metres
from kitsolver.shop.sources.source_address import masked
from kitsolver.solve.audit.evidence import Shade
from kitsolver.solve.candidates.candidate import Candidate, Selection, Thread
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.quantities import (
    cut_of,
    pools,
    served_from_home,
    skeins_of,
    thread_units,
    uncut_size,
)
from kitsolver.solve.figures import figures
from kitsolver.solve.outcome import FitFigures, Kit, Line
from kitsolver.solve.rules.margin import trade_cost
from kitsolver.solve.tally import tally


def kit_of(selection: Selection, candidates: Candidates, catalogue: Catalogue) -> Kit:
    """Return the kit of a selection, not yet audited."""
    sums = tally(selection, candidates)

    taken = dict(_lengths_from_home(selection, candidates))

    def line(candidate: Candidate, role: str) -> Line:
        units, row = sums.units[candidate.sku], catalogue.at_home(candidate.sku)
        metres = left = None
        if catalogue.home and isinstance(candidate, Thread) and len(candidate.colours) == 1:
            metres = taken.get(candidate.sku, Decimal("0.00"))
            left = decimal_metres((row.length if row else None) or 0) - metres
        return Line(
            sku=candidate.sku,
            name=catalogue.row(candidate.sku)["name"],
            category=candidate.category,
            role=role,
            units=units,
            price=candidate.price,
            quality=candidate.points,
            from_home=units - candidate.bought(units),
            metres_from_home=metres,
            metres_left=left,
            currency=candidates.brief.currency,
        )

    lines = (
        *(line(candidate, "need") for candidate in _needed(selection, candidates)),
        *(line(extra, "extra") for extra in selection.extras),
    )
    return Kit(
        lines=lines,
        receipt=sums.receipt,
        figures=figures(sums, candidates),
        shades=tuple(_shades(selection, candidates)),
        fit=_fit(selection, candidates),
        currency=candidates.brief.currency,
        home=_used(lines, candidates.brief, catalogue),
        trade_cost=None if candidates.brief.most_trade_cost is None else trade_cost(sums),
    )


def _used(lines: Iterable[Line], brief: Brief, catalogue: Catalogue) -> HomeList | None:
    """Return the home list with the rows of which something is taken; None without a list."""
    if catalogue.home is None:
        return None
    rows = {line.sku: catalogue.home.rows[line.sku] for line in lines if line.listed}
    return HomeList(masked(brief.home.source or catalogue.home.name), rows)


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
        skeins = number * skeins_of(place, asked, fabric.count, candidates.brief)
        if place.thread.listed:
            units = thread_units(place.thread, asked, fabric.count, candidates.brief)
            skeins = place.thread.bought(units)
        yield Shade(
            chart_colour=asked.colour,
            stitches=asked.stitches,
            backstitch=asked.backstitch,
            kind=asked.kind,
            sku=place.thread.sku or None,
            thread_colour=place.colour,
            difference=place.difference,
            skeins=skeins,
        )


def _lengths_from_home(
    selection: Selection, candidates: Candidates
) -> Iterator[tuple[str, Decimal]]:
    """Yield the single threads of the home list, and the metres of full thread taken of each."""
    fabric, shades = selection.fabric, selection.chart.shades or ()
    if candidates.matches_thread:
        for place, asked in zip(selection.places, shades, strict=True):
            if place.thread.home_length:
                served = served_from_home(place.thread, asked, fabric.count, candidates.brief)
                yield place.thread.sku, hundredths(served.used, place.thread.plies)
    for row in (*selection.needs.values(), *selection.extras):
        if isinstance(row, Thread) and row.home_taken:
            yield row.sku, hundredths(Surd(Fraction(row.home_taken)), row.plies)


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
