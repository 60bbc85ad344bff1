"""The plan for a class, computed from the kit that was picked for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from math import ceil

from kitsolver.brief.brief import Brief
from kitsolver.craft.cutting import offcuts
from kitsolver.craft.thread import USUAL_PLIES, Charted, metres_off_skein, strands
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.candidates.candidate import Place, Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.quantities import pools, skeins_a_pool
from kitsolver.solve.class_plan import ClassPlan, Cuts, ThreadShare
from kitsolver.solve.outcome import Kit
from kitsolver.solve.planning.pack_mix import pack_mixes
from kitsolver.solve.planning.stitching_time import stitching_time


def class_plan(
    kit: Kit, selection: Selection, candidates: Candidates, catalogue: Catalogue
) -> ClassPlan | None:
    """Return the plan of a kit that is made more than once; None for a single kit."""
    brief = candidates.brief
    if brief.kits == 1:
        return None
    mixes, receipt = pack_mixes(kit, selection, candidates, catalogue)
    tables, heads = pools(brief) if "thread" in brief.holds else (1, brief.kits)
    shades = selection.chart.shades or ()
    return ClassPlan(
        kits=brief.kits,
        pack_mixes=mixes,
        receipt=receipt,
        cuts=_cuts(kit, selection, brief),
        tables=tables,
        heads_a_table=heads,
        thread_shares=tuple(_thread_shares(shades, selection, brief)),
        time=stitching_time((shade.stitches for shade in shades), brief.lesson),
    )


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


def _thread_shares(
    shades: Sequence[Charted], selection: Selection, brief: Brief
) -> Iterator[ThreadShare]:
    count = selection.fabric.count
    # There are no places where the thread was chosen without looking at the chart's colours.
    for place, asked in zip(selection.places, shades, strict=False):
        yield ThreadShare(
            asked.colour,
            place.colour,
            place.thread.sku or None,
            skeins_a_pool(asked, count, place.thread.skein_length, brief),
            None if count is None else _metres_a_head(place, asked, count, brief),
        )


def _metres_a_head(place: Place, asked: Charted, count: Fraction, brief: Brief) -> Decimal:
    # Thread that is only described as a colour at home is taken to be the usual skein.
    plies = place.thread.plies if place.thread.sku else USUAL_PLIES
    needle = brief.fit.strands or asked.strands or strands(count)
    return metres_off_skein(asked, count, needle, brief.fit.exact_waste, plies)
