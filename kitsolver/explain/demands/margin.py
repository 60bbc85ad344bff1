"""The shop's margin: what the kit costs the shop leaves it the share that it asks for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor

from kitsolver.brief.brief import Brief
from kitsolver.explain.demands.demand import Demand, Easing, easing
from kitsolver.explain.demands.explanation import Conflict, Obstacle, RuleExplanation
from kitsolver.explain.demands.least_change import closest_reached
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.explain.wording import listed, row_text
from kitsolver.shop.catalogue import NOT_GIVEN, Catalogue
from kitsolver.solve.rules import margin as rule

_RATE, _SELL_AT = ("shop", "margin_rate"), ("shop", "sell_at")
_HUNDREDTH = Decimal("0.01")
# More than any kit costs a shop.
_ANY_SUM = "1000000"


@dataclass(frozen=True)
class MarginRate(Demand):
    """The share of the price that is left to the shop."""

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief without a margin."""
        return relaxed.with_value(_RATE, None).with_value(_SELL_AT, None)

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield the greatest share with which there is a kit, or that none is asked for."""
        found = _greatest_share(relaxed) if _rows_say_their_cost(relaxed) else None
        if found is not None:
            asked = Decimal(relaxed.value(*_RATE))
            value, pain = f"{found.normalize():f}", float((asked - found) / asked)
            yield easing(relaxed, _RATE, value, f"let a share of {value} be left to the shop", pain)
        elif relaxed.works_with(("shop",), {}):
            yield easing(relaxed, ("shop",), {}, "ask for no margin")


def _greatest_share(relaxed: RelaxedBrief) -> Decimal | None:
    """Return the greatest lower share with which there is a kit, by hundredths; None if none."""
    sold = Fraction(relaxed.now.minor(relaxed.value(*_SELL_AT)))

    def reached(share: str) -> Decimal | None:
        """Return the share that some kit leaves which leaves so much."""
        kit = relaxed.with_value(_RATE, share).some_kit
        if kit is None:
            return None
        left = floor((1 - Fraction(rule.trade_cost(kit)) / sold) * 100) if sold else 0
        return max(Decimal(share), Decimal(left) * _HUNDREDTH)

    asked = Decimal(relaxed.value(*_RATE))
    fails = Decimal(ceil(asked * 100)) * _HUNDREDTH
    works = reached("0") if fails else None
    return None if works is None else closest_reached(works, fails, -_HUNDREDTH, reached)


def _rows_say_their_cost(relaxed: RelaxedBrief) -> bool:
    """Tell whether a kit can be made of rows that say what they cost the shop."""
    return relaxed.with_value(_RATE, "0").works_with(_SELL_AT, _ANY_SUM)


def _demands(brief: Brief, _: Catalogue) -> Iterator[Demand]:
    if brief.most_trade_cost is not None:
        sold, rate = brief.shop.sell_at, brief.shop.margin_rate
        says = f"a share of {rate} is to be left of {sold} {brief.currency}"
        yield MarginRate("shop.margin_rate", says)


def _obstacles(conflict: Conflict) -> Iterator[Obstacle]:
    """Tell of rows that a kit needs and that do not say what they cost the shop."""
    margins = [demand for demand in conflict.demands if isinstance(demand, MarginRate)]
    if not margins or _rows_say_their_cost(conflict.alone):
        return
    free = conflict.whole.without(margins)
    kit = free.cheapest_kit or conflict.alone.without(margins).cheapest_kit
    catalogue = conflict.whole.catalogue
    lines = [line for line in (kit.lines if kit else ()) if line.bought]
    silent = [line.sku for line in lines if _is_silent(line.sku, catalogue)]
    if silent:
        rows = listed([row_text(sku, catalogue) for sku in silent])
        do = "does not say what it costs" if len(silent) == 1 else "do not say what they cost"
        yield Obstacle(f"{rows} {do} the shop (trade_cost is blank), and other rows do not do")


def _is_silent(sku: str, catalogue: Catalogue) -> bool:
    return int(catalogue.goods(sku)["trade_cost"]) == NOT_GIVEN


def _bars(sku: str, brief: Brief, catalogue: Catalogue) -> Iterator[str]:
    asked = brief.most_trade_cost is not None and sku not in brief.choose.own
    # What is at home may be used from there, whatever it costs the shop.
    asked = asked and catalogue.at_home(sku) is None
    if asked and _is_silent(sku, catalogue):
        yield "It does not say what it costs the shop, of which a margin is asked."


EXPLANATION = RuleExplanation(
    rule.Margin,
    eases=("shop.margin_rate", "shop.sell_at"),
    demands=_demands,
    obstacles=_obstacles,
    bars=_bars,
)
