"""Every rule's explanation, one line each, and the keys of a brief that no mend changes.

The order is that in which a buyer would rather give up the later: the cap; what is kept; what is at
home; the shop's margin; limits on what the lines come to; how large the design is and how long it
takes; the conditions of each need, of extras and of the whole kit; which rows go together; what is
left out; how extras are limited; how near thread is, or how it contrasts; how much fabric stays
bare; that goods are in stock. What stands in the way is told in the opposite order.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

from kitsolver.brief.brief import Brief
from kitsolver.explain.demands import (
    alike,
    cap,
    conditions,
    contrast,
    extras,
    finishing,
    fit,
    heads,
    hoop,
    hours,
    keep,
    leave_out,
    limits,
    margin,
    needle,
    needs,
    pairs,
    ranges,
    size,
    stock,
    thread,
    whole_kit,
)
from kitsolver.explain.demands.demand import Demand
from kitsolver.explain.demands.explanation import Conflict, Obstacle
from kitsolver.shop.catalogue import Catalogue

EXPLANATIONS = (
    cap.EXPLANATION,
    keep.EXPLANATION,
    needs.EXPLANATION,
    margin.EXPLANATION,
    limits.EXPLANATION,
    size.EXPLANATION,
    hours.EXPLANATION,
    conditions.EXPLANATION,
    ranges.EXPLANATION,
    whole_kit.EXPLANATION,
    pairs.EXPLANATION,
    alike.EXPLANATION,
    leave_out.EXPLANATION,
    extras.EXPLANATION,
    finishing.EXPLANATION,
    hoop.EXPLANATION,
    needle.EXPLANATION,
    thread.EXPLANATION,
    contrast.EXPLANATION,
    fit.EXPLANATION,
    heads.EXPLANATION,
    stock.EXPLANATION,
)

# The rules that tell of kits that can be made.
_OF_MONEY = (cap.EXPLANATION, margin.EXPLANATION, stock.EXPLANATION)

# Keys that no mend changes, and why; ``*`` stands for any category.
NOT_EASED = {
    "title": "says nothing of the goods",
    "currency": "is the shop's",
    "units": "only says how lengths are shown",
    "holds": "says what is asked for; with fewer needs it is another kit",
    "needs.*.weight": "only ranks kits",
    "needs.*.score": "only ranks kits",
    "needs.*.range": "only ranks kits",
    "extras.weight": "only ranks kits",
    "choose.own": "only lets more rows in",
    "home.from": "only lets more rows in",
    "home.columns": "only says how the home list is read",
    "home.quality": "only ranks kits",
    "fit.over": "says how it is stitched; another count of threads is another picture",
    "fit.waste": "says how much thread is lost, which no brief can change",
    "fit.strands": "says how it is stitched",
    "fit.needles": "says which needles suit, which no brief can change",
    "shades.mode": "says which picture is stitched; its own colours are asked for, or any",
    "shades.mismatch": "only ranks kits",
    "shades.kinds": "says which thread can replace which, which no brief can change",
    "shades.wish": "only ranks kits",
    "till.discount_rate": "is the shop's",
    "till.delivery": "is the shop's",
    "till.delivery_free_from": "is the shop's",
    "till.tax_rate": "is the law's",
    "till.tax_on_delivery": "is the law's",
    "till.rounding": "is the shop's",
    "shop.uncosted": "says whether a blank cost is bad input",
    "lesson.stitches_an_hour": "only tells how long a class takes",
    "lesson.minutes": "only tells how long a class takes",
}


def demands(brief: Brief, catalogue: Catalogue, hard: Collection[str] = ()) -> tuple[Demand, ...]:
    """Return everything that a brief demands of a catalogue's goods, the dearest first.

    Rows that are `hard` are kept whatever else is given up.
    """
    every = (demand for rule in EXPLANATIONS for demand in rule.demands(brief, catalogue))
    return tuple(d for d in every if not (isinstance(d, keep.Keep) and d.sku in hard))


def obstacles(conflict: Conflict) -> Iterator[Obstacle]:
    """Yield what among the goods makes a conflict, the most telling first."""
    # Where there are kits, but all too dear, no other rule has anything in its way.
    told = _OF_MONEY if conflict.only_of_money else EXPLANATIONS
    for rule in reversed(told):
        yield from rule.obstacles(conflict)


def barring(sku: str, brief: Brief, catalogue: Catalogue) -> Iterator[str]:
    """Yield why one row may not be in a kit by itself, as sentences about it; nothing if it may.

    Parameters
    ----------
    sku : str
        Of the catalogue.
    brief : Brief
        What is asked.
    """
    for rule in reversed(EXPLANATIONS):
        yield from rule.bars(sku, brief, catalogue)
