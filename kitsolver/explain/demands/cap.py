"""The cap: no more is paid than the brief allows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from kitsolver.brief.brief import Brief
from kitsolver.explain.demands.demand import Demand, Easing, easing
from kitsolver.explain.demands.explanation import Conflict, Obstacle, RuleExplanation
from kitsolver.explain.demands.heads import sharing
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.explain.wording import order_sum, sum_text
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.money import to_text
from kitsolver.solve.rules import cap as rule


@dataclass(frozen=True)
class Cap(Demand):
    """The cap of the whole order."""

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief without a cap."""
        return replace(relaxed, capped=False)

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield the cap of the cheapest kit, and what heads could share instead."""
        paid, brief = relaxed.least_paid, relaxed.brief
        if paid is None:
            return
        cap = relaxed.now.total_cap
        pain = (paid - cap) / max(1, cap)
        if relaxed.value("cap_per_head") is None:
            value, says = to_text(paid, brief.currency), f"pay {order_sum(paid, brief)}"
            yield easing(relaxed, ("cap",), value, says, pain)
        else:
            each = -(-paid // brief.heads)
            value, says = to_text(each, brief.currency), f"pay {sum_text(each, brief)} a head"
            yield easing(relaxed, ("cap_per_head",), value, says, pain)
        yield from sharing(relaxed)


def _demands(brief: Brief, _: Catalogue) -> Iterator[Demand]:
    cap = brief.total_cap
    a_head = f", {sum_text(-(-cap // brief.heads), brief)} a head" if brief.heads > 1 else ""
    yield Cap("cap", f"no more than {sum_text(cap, brief)} is to be paid{a_head}")


def _obstacles(conflict: Conflict) -> Iterator[Obstacle]:
    """Tell what the cheapest kit comes to that meets all but the cap."""
    whole = conflict.whole
    paid = whole.least_paid if conflict.has(Cap) else None
    if paid is None:
        return
    brief = whole.brief
    above = sum_text(paid - brief.total_cap, brief)
    says = f"the cheapest kit that meets all the rest comes to {order_sum(paid, brief)}"
    yield Obstacle(f"{says}{_delivery(whole)}, which is {above} above the cap")


def _delivery(whole: RelaxedBrief) -> str:
    till, brief = whole.brief.register, whole.brief
    kit = whole.cheapest_kit if till.delivery else None
    if kit is None or not kit.receipt.delivery:
        return ""
    told = f", {sum_text(kit.receipt.delivery, brief)} of it for delivery"
    if not till.delivery_free_from:
        return told
    return f"{told} (free from {sum_text(till.delivery_free_from, brief)} on)"


EXPLANATION = RuleExplanation(
    rule.Cap, eases=("cap", "cap_per_head"), demands=_demands, obstacles=_obstacles
)
