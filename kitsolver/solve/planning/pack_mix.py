"""Whether packs of other sizes serve a class for less than the rows in the kit."""

from __future__ import annotations

from kitsolver.brief.brief import Brief
from kitsolver.craft.mixing import Pack, cheapest_mix
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.till import Receipt
from kitsolver.solve.candidates.candidate import Candidate, Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.class_plan import PackMix
from kitsolver.solve.outcome import Kit
from kitsolver.solve.presolve.admitted_rows import admitted_rows
from kitsolver.solve.rules import compatibility_key, compatible
from kitsolver.solve.tally import paid_for

# Rows with the same text in this column are the same goods in packs of different sizes.
LINE = "line"


def pack_mixes(
    kit: Kit, selection: Selection, candidates: Candidates, catalogue: Catalogue
) -> tuple[tuple[PackMix, ...], Receipt]:
    """Return the packs to buy instead of the kit's rows, and what is paid then.

    There are none, and the receipt is the kit's, where the whole order would not become cheaper:
    cheaper goods can lose free delivery.
    """
    found = [
        mix
        for need in candidates.plain_needs
        if (mix := _mix(selection.needs[need], selection, candidates.brief, catalogue)) is not None
    ]
    if not found:
        return (), kit.receipt
    # Packs are only mixed with packs of the same tax rate, so the row in the kit stands for them.
    totals = {line.sku: line.total for line in kit.lines}
    totals |= {mix.instead_of: mix.total for mix in found}
    rows: list[Candidate] = [*selection.needs.values(), *selection.extras]
    rows += {place.thread.sku: place.thread for place in selection.places}.values()
    costs = ((row, totals[row.sku]) for row in rows if row.sku in totals)
    receipt = paid_for(costs, candidates.brief)
    if receipt.payable >= kit.receipt.payable:
        return (), kit.receipt
    return tuple(found), receipt


def _mix(
    row: Candidate, selection: Selection, brief: Brief, catalogue: Catalogue
) -> PackMix | None:
    """Return the cheapest mix of packs for one row; None if the row's own units cost no more."""
    if not row.sku or not row.price or row.home or LINE not in catalogue.cells:
        return None
    line = catalogue.row(row.sku)[LINE]
    if not line:
        return None
    everyone = admitted_rows(catalogue, brief, row.category, need=True, least_units=1)
    key = compatibility_key(selection.chart, selection.fabric, brief)
    others = [
        other
        for other in (everyone.candidates() if everyone else ())
        if catalogue.row(other.sku)[LINE] == line
        and other.tax_rate == row.tax_rate
        and other.download == row.download
        and other.stock
        and not other.home
        and compatible(other, key)
    ]
    asked = -(-brief.kits // brief.need(row.category).shared_by)
    packs = [
        Pack(other.sku, int(catalogue.row(other.sku).get("serves") or 1), other.price, other.stock)
        for other in others
    ]
    mix = cheapest_mix(packs, asked)
    if mix is None:
        return None
    price = {other.sku: other.price for other in others}
    total = sum(units * price[sku] for sku, units in mix.items())
    if total >= row.cost:
        return None
    return PackMix(row.category, line, row.sku, tuple(sorted(mix.items())), total, row.cost)
