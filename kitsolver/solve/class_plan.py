"""What a class of several heads is to be given: bought, cut, shared out, and in what time."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction
from math import ceil, isqrt

from kitsolver.brief.brief import Brief
from kitsolver.craft.cutting import offcuts
from kitsolver.craft.fit import Size
from kitsolver.craft.lengths import INCH
from kitsolver.craft.mixing import Pack, cheapest_mix
from kitsolver.craft.thread import SKEIN_UNIT, USUAL_SKEIN, Charted, strands
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.till import Receipt
from kitsolver.solve.candidates.candidate import Candidate, Place, Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.quantities import pools, skeins_a_pool
from kitsolver.solve.outcome import Kit
from kitsolver.solve.presolve.from_rows import candidates_of
from kitsolver.solve.rules import compatibility_key, compatible
from kitsolver.solve.tally import paid_for

# A line of goods that comes in packs of several sizes is named in this column.
LINE = "line"
_FINE = 10**8


@dataclass(frozen=True)
class Bought:
    """How one need's goods are bought for less in packs of several sizes.

    Parameters
    ----------
    line : str
        What the catalogue calls these goods.
    instead_of : str
        The sku in the kit.
    packs : tuple of (str, int)
        Skus and units.
    total, before : int
        What they cost, and what the kit's own units do, in minor units.
    """

    category: str
    line: str
    instead_of: str
    packs: tuple[tuple[str, int], ...]
    total: int
    before: int


@dataclass(frozen=True)
class Cuts:
    """How the fabric is cut.

    Parameters
    ----------
    units : int
        Pieces of fabric that are cut up.
    from_each : int
        Cuts that each yields; of the last one the rest are `spare`.
    offcuts : tuple of Size
        What is left of each, the largest first.
    """

    sku: str
    units: int
    from_each: int
    cut: Size
    fabric: Size
    spare: int
    offcuts: tuple[Size, ...]


@dataclass(frozen=True)
class Shared:
    """One shade, shared out: skeins a table, and metres of skein a head, waste counted in."""

    chart_colour: str
    thread_colour: str
    sku: str | None
    skeins_a_table: int
    metres_a_head: Decimal | None


@dataclass(frozen=True)
class Hours:
    """How long the design takes a beginner: crosses, hours, and lessons if their length is said."""

    stitches: Fraction
    an_hour: Fraction
    hours: int
    lessons: int | None


@dataclass(frozen=True)
class ClassPlan:
    """What a class is to be given.

    Parameters
    ----------
    bought : tuple of Bought
        Where packs of several sizes cost less than the kit's own.
    receipt : Receipt
        What is paid if they are bought so; else that of the kit.
    cuts : Cuts or None
        None where the fabric's or the design's size is not known.
    tables, heads_a_table : int
        How many share their thread, and how many such tables there are.
    shared : tuple of Shared
        In chart order.
    hours : Hours or None
        None where the chart's stitches are not known.
    """

    kits: int
    bought: tuple[Bought, ...]
    receipt: Receipt
    cuts: Cuts | None
    tables: int
    heads_a_table: int
    shared: tuple[Shared, ...]
    hours: Hours | None


def class_plan(
    kit: Kit, selection: Selection, candidates: Candidates, catalogue: Catalogue
) -> ClassPlan | None:
    """Return the plan of a kit that is made for several heads; None for one."""
    brief = candidates.brief
    if brief.kits == 1:
        return None
    bought, receipt = _bought(kit, selection, candidates, catalogue)
    tables, heads = (1, brief.kits)
    if "thread" in brief.holds:
        tables, heads = pools(brief)
    return ClassPlan(
        kits=brief.kits,
        bought=bought,
        receipt=receipt,
        cuts=_cuts(kit, selection, brief),
        tables=tables,
        heads_a_table=heads,
        shared=tuple(_shared(selection, candidates)),
        hours=_hours(selection, brief),
    )


def _bought(
    kit: Kit, selection: Selection, candidates: Candidates, catalogue: Catalogue
) -> tuple[tuple[Bought, ...], Receipt]:
    """Return what is bought in other packs, if less is then paid, and what is paid."""
    found = [
        mixed
        for need in candidates.plain_needs
        if (mixed := _mixed(selection.needs[need], selection, candidates.brief, catalogue))
        is not None
    ]
    if not found:
        return (), kit.receipt
    # Mixed packs are taxed as the row is that they stand for.
    replaced = {mixed.instead_of: mixed.total for mixed in found}
    totals = {line.sku: line.total for line in kit.lines} | replaced
    rows: list[Candidate] = [*selection.needs.values(), *selection.extras]
    rows += {place.thread.sku: place.thread for place in selection.places}.values()
    costs = ((row, totals[row.sku]) for row in rows if row.sku in totals)
    receipt = paid_for(costs, candidates.brief)
    if receipt.payable >= kit.receipt.payable:
        return (), kit.receipt
    return tuple(found), receipt


def _goes_with(row: Candidate, selection: Selection, brief: Brief) -> bool:
    """Tell whether a row may stand beside the chart and the fabric that were chosen."""
    return compatible(row, compatibility_key(selection.chart, selection.fabric, brief))


def _mixed(
    row: Candidate, selection: Selection, brief: Brief, catalogue: Catalogue
) -> Bought | None:
    """Return how a row's goods are bought for less in several packs; None if they are not."""
    if not row.sku or not row.price or LINE not in catalogue.text.columns:
        return None
    line = catalogue.row(row.sku)[LINE]
    if not line:
        return None
    everyone = candidates_of(catalogue, brief, row.category, need=True, elastic=True)
    others = [
        other
        for other in everyone
        if catalogue.row(other.sku)[LINE] == line
        and other.tax_rate == row.tax_rate
        and other.download == row.download
        and other.stock
        and _goes_with(other, selection, brief)
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
    return Bought(row.category, line, row.sku, tuple(sorted(mix.items())), total, row.cost)


def _cuts(kit: Kit, selection: Selection, brief: Brief) -> Cuts | None:
    fit = kit.fit
    if fit.cut is None or fit.fabric is None or not fit.pieces:
        return None
    units = ceil(Fraction(brief.kits, fit.pieces))
    return Cuts(
        sku=selection.fabric.sku,
        units=units,
        from_each=fit.pieces,
        cut=fit.cut,
        fabric=fit.fabric,
        spare=units * fit.pieces - brief.kits,
        offcuts=tuple(offcuts(fit.cut, fit.fabric)),
    )


def _shared(selection: Selection, candidates: Candidates) -> Iterator[Shared]:
    asked: Sequence[Charted] = selection.chart.shades or ()
    for place, one in zip(selection.places, asked, strict=False):
        skeins = skeins_a_pool(
            one, selection.fabric.count, place.thread.skein_length, candidates.brief
        )
        yield Shared(
            one.colour,
            place.colour,
            place.thread.sku or None,
            skeins,
            _metres(place, one, selection.fabric.count, candidates.brief),
        )


def _metres(place: Place, asked: Charted, count: Fraction | None, brief: Brief) -> Decimal | None:
    """Return how much of the skein one head needs, in metres rounded up to a hundredth."""
    if count is None:
        return None
    plies = brief.fit.strands or asked.strands or strands(count)
    # 2 (1 + √2) to many digits, rounded up: what is given out is enough.
    root = Fraction(isqrt(2 * _FINE**2) + 1, _FINE)
    single = 2 * (1 + root) * INCH * asked.stitches * plies / count + 2 * asked.backstitch
    share = single * (1 + Fraction(brief.fit.waste)) / SKEIN_UNIT / 10_000
    length = Fraction(place.thread.skein_length, 10_000)
    # Of a skein that is six strands thick, say, a metre holds six metres of single strand.
    metres = share / (length / _skein_metres(place, length))
    return Decimal(ceil(metres * 100)).scaleb(-2).quantize(Decimal("0.01"), ROUND_CEILING)


def _skein_metres(place: Place, length: Fraction) -> Fraction:
    """Return how long a skein is, as it comes off the card; six strands thick if nobody knows."""
    if not place.thread.sku:
        return Fraction(USUAL_SKEIN, 60_000)
    return length / place.thread.plies


def _hours(selection: Selection, brief: Brief) -> Hours | None:
    stitches = sum((Fraction(one.stitches) for one in selection.chart.shades or ()), Fraction(0))
    if not stitches:
        return None
    an_hour, minutes = Fraction(brief.lesson.stitches_an_hour), brief.lesson.minutes
    hours = stitches / an_hour
    lessons = None if minutes is None else ceil(hours * 60 / Fraction(minutes))
    return Hours(stitches, an_hour, ceil(hours), lessons)
