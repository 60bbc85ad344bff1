"""The cap: no more is paid than the brief allows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import chain

from kitsolver.brief.brief import Brief
from kitsolver.explain.demands.demand import Demand, Easing, easing
from kitsolver.explain.demands.explanation import Conflict, Obstacle, RuleExplanation
from kitsolver.explain.demands.heads import fewer_heads, fewer_spare, sharing
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.explain.wording import order_sum, sum_text
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.money import to_text
from kitsolver.solve.presolve.affordable import paid_by_goods
from kitsolver.solve.rules import cap as rule


@dataclass(frozen=True)
class Cap(Demand):
    """The cap of the whole order."""

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief without a cap."""
        return replace(relaxed, capped=False)

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield the cap of the cheapest kit, what heads could share instead, and fewer to spare."""
        paid = relaxed.least_paid
        if paid is not None:
            yield _pay(paid, relaxed)
        yield from sharing(relaxed)
        yield from fewer_spare(relaxed)

    def ease_further(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield fewer heads."""
        yield from fewer_heads(relaxed)


def _pay(paid: int, relaxed: RelaxedBrief) -> Easing:
    """Return that so much may be paid, by the key of the cap that the brief has."""
    # Heads may have been eased before: the sum is for those that are left.
    brief, cap = relaxed.now, relaxed.now.total_cap
    pain = (paid - cap) / max(1, cap)
    if relaxed.value("cap_per_head") is None:
        value, says = to_text(paid, brief.currency), f"pay {order_sum(paid, brief)}"
        return easing(relaxed, ("cap",), value, says, pain)
    each = -(-paid // brief.heads)
    value, says = to_text(each, brief.currency), f"pay {sum_text(each, brief)} a head"
    return easing(relaxed, ("cap_per_head",), value, says, pain)


def _demands(brief: Brief, _: Catalogue) -> Iterator[Demand]:
    cap = brief.total_cap
    a_head = f", {sum_text(-(-cap // brief.heads), brief)} a head" if brief.heads > 1 else ""
    yield Cap("cap", f"no more than {sum_text(cap, brief)} is to be paid{a_head}")


def _obstacles(conflict: Conflict) -> Iterator[Obstacle]:
    """Tell what the cheapest kit comes to that meets all but the cap."""
    if not conflict.has(Cap):
        return
    relaxed, which = conflict.whole, "the cheapest kit that meets all the rest"
    paid = relaxed.least_paid
    if paid is None:
        relaxed, which = conflict.alone, "whatever else is given up, the cheapest kit"
        paid = relaxed.least_paid
    if paid is not None:
        brief = relaxed.brief
        above = sum_text(paid - brief.total_cap, brief)
        says = f"{which} comes to {order_sum(paid, brief)}{_delivery(relaxed)}"
        yield Obstacle(f"{says}, which is {above} above the cap")


def _delivery(relaxed: RelaxedBrief) -> str:
    till, brief = relaxed.brief.exact_till, relaxed.brief
    delivery = _charged(relaxed) if till.delivery else 0
    if not delivery:
        return ""
    told = f", {sum_text(delivery, brief)} of it for delivery"
    if not till.delivery_free_from:
        return told
    return f"{told} (free from {sum_text(till.delivery_free_from, brief)} on)"


def _charged(relaxed: RelaxedBrief) -> int:
    """Return what delivery is charged for the cheapest kit, in minor units.

    Dearer goods that are delivered free may come to the same sum: then it is that of the cheaper.
    """
    till, paid = relaxed.brief.exact_till, relaxed.least_paid
    if paid is not None and paid_by_goods(relaxed.now, relaxed.catalogue):
        # Mostly all goods totals for which so much is paid are delivered alike.
        charged = {till.receipt(goods).delivery for goods in chain(*till.paying(paid))}
        if len(charged) == 1:
            return charged.pop()
        never_free = relaxed.with_value(("till", "delivery_free_from"), "0")
        return till.delivery if never_free.has_kit_within(paid) else 0
    kit = relaxed.cheapest_kit
    return 0 if kit is None else kit.receipt.delivery


EXPLANATION = RuleExplanation(
    rule.Cap, eases=("cap", "cap_per_head"), demands=_demands, obstacles=_obstacles
)
