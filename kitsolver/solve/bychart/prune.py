"""Leaves out rows that can be in no best kit, because another does all they do for no more.

Another row does all that a row does if it goes wherever that row goes, costs no more and counts
no less; and it is to be preferred if it counts more, costs less, or comes first where kits tie.
Then any kit with the one row is beaten by the same kit with the other.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from kitsolver.solve import rules
from kitsolver.solve.entry.goods import Fabric, Hoop, Needle, Offer
from kitsolver.solve.entry.offers import Offers


def pruned(offers: Offers) -> Offers:
    """Return the offers of one chart without rows that can be in no best kit.

    Where dearer goods can be delivered free, a dearer row may be of use, and all are kept.
    """
    brief, (chart,) = offers.brief, offers.charts
    if brief.register.has_gap:
        return offers
    counts = {fabric.count for fabric in offers.fabrics}
    units = {fabric: rules.fabric_units(chart, fabric, brief) for fabric in offers.fabrics}
    hoops = any(isinstance(o, Hoop) for o in (*offers.extras, *offers.needs.get("hoop", ())))

    def cost(offer: Offer) -> int:
        # A fabric that is an extra is cut for no chart.
        number = units.get(offer) if isinstance(offer, Fabric) else None
        return offer.price * (offer.units if number is None else number)

    def as_far(one: Offer, other: Offer) -> bool:
        """Whether `one` goes wherever `other` goes."""
        match one, other:
            case Fabric(), Fabric():
                larger = one.size is None or other.size is None or _contains(one, other)
                return one.count == other.count and (larger or not hoops)
            case Needle(), Needle():
                suits = (
                    {c for c in counts if rules.needle_suits(needle, c, brief.fit)}
                    for needle in (one, other)
                )
                return next(suits) >= next(suits)
            case Hoop(), Hoop():
                return one.diameter is None or (
                    other.diameter is not None and one.diameter <= other.diameter
                )
        return True

    def left(rows: Iterable[Offer], counted: bool) -> tuple[Offer, ...]:
        strict = not brief.till.discount_rate
        kept: list[Offer] = []
        for row in sorted(rows, key=lambda o: (cost(o), -o.points if counted else 0, o.sku)):
            beaten = any(
                (not counted or other.points >= row.points)
                and (
                    (counted and other.points > row.points)
                    or (strict and cost(other) < cost(row))
                    # Shades at home make no line: where kits tie, they come neither first nor last.
                    or "" < other.sku < row.sku
                )
                and as_far(other, row)
                for other in kept
            )
            if not beaten or row.sku in brief.choose.keep:
                kept.append(row)
        return tuple(sorted(kept, key=lambda offer: offer.sku))

    needs = dict(offers.needs)
    needs["fabric"] = tuple(
        fabric for fabric in offers.fabrics if 0 < (units[fabric] or 0) <= fabric.stock
    )
    for need in (*offers.plain_needs, "fabric"):
        needs[need] = left(needs[need], counted=bool(offers.weights.get(need)))
    together = brief.extras.spend == "together"
    counted = not together or brief.extras.weight > 0
    categories = sorted({extra.category for extra in offers.extras})
    extras = (
        row
        for category in categories
        for row in left((o for o in offers.extras if o.category == category), counted)
    )
    return replace(offers, needs=needs, extras=tuple(sorted(extras, key=lambda o: o.sku)))


def _contains(one: Fabric, other: Fabric) -> bool:
    assert one.size is not None
    assert other.size is not None
    return one.size.width >= other.size.width and one.size.height >= other.size.height
