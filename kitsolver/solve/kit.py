"""From a choice to a kit: its lines, its shades and how the design lies on the fabric."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from kitsolver.craft import fit as cloth
from kitsolver.craft.cutting import pieces
from kitsolver.craft.thread import strands
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve import rules
from kitsolver.solve.audit.evidence import Shade
from kitsolver.solve.candidates.candidate import Choice, Offer
from kitsolver.solve.candidates.candidates import Offers
from kitsolver.solve.model.figures import figures
from kitsolver.solve.outcome import FitFigures, Kit, Line
from kitsolver.solve.tally import skeins, tally


def kit_of(choice: Choice, offers: Offers, catalogue: Catalogue) -> Kit:
    """Return the kit of a choice, not yet audited."""
    sums = tally(choice, offers)

    def line(offer: Offer, role: str) -> Line:
        return Line(
            sku=offer.sku,
            name=catalogue.row(offer.sku)["name"],
            category=offer.category,
            role=role,
            units=sums.units[offer.sku],
            price=offer.price,
            quality=offer.points,
        )

    return Kit(
        lines=(
            *(line(offer, "need") for offer in _needed(choice, offers)),
            *(line(extra, "extra") for extra in choice.extras),
        ),
        receipt=sums.receipt,
        figures=figures(sums, offers),
        shades=tuple(_shades(choice, offers)),
        fit=_fit(choice, offers),
        currency=offers.brief.currency,
        trade_cost=None if offers.brief.most_trade_cost is None else sums.trade,
    )


def _needed(choice: Choice, offers: Offers) -> Iterator[Offer]:
    for category in offers.brief.holds:
        if category == "thread" and offers.shaded:
            threads = {place.thread.sku: place.thread for place in choice.places}
            yield from (threads[sku] for sku in sorted(threads) if sku)
        elif category in choice.needs and choice.needs[category].sku:
            yield choice.needs[category]


def _shades(choice: Choice, offers: Offers) -> Iterator[Shade]:
    chart, fabric = choice.chart, choice.fabric
    if not offers.shaded:
        return
    pools, _ = rules.pools(offers.brief)
    for place, asked in zip(choice.places, chart.shades or (), strict=True):
        yield Shade(
            chart_colour=asked.colour,
            stitches=asked.stitches,
            backstitch=asked.backstitch,
            kind=asked.kind,
            sku=place.thread.sku or None,
            thread_colour=place.colour,
            difference=place.difference,
            skeins=pools * skeins(place, asked, fabric.count, offers),
        )


def _fit(choice: Choice, offers: Offers) -> FitFigures:
    chart, fabric, fit = choice.chart, choice.fabric, offers.brief.fit
    uncut = rules.uncut(chart, fabric, offers.brief)
    known = FitFigures(
        effective_count=fabric.count,
        fabric=uncut,
        rolled=bool(fabric.roll),
        cloth=fabric.colour or None,
    )
    if fabric.count is None:
        return known
    plies = fit.strands or strands(fabric.count)
    cut = rules.cut(chart, fabric.count, fit)
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
