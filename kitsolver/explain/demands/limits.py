"""Limits: what the lines come to in a column, or their number, has a least or a most."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from fractions import Fraction

from kitsolver.brief.brief import Brief
from kitsolver.brief.conditions import MOST_DECIMALS
from kitsolver.brief.meeting import Shelf, meeting
from kitsolver.brief.own_rules import Limit
from kitsolver.brief.validate_rules import blank_and_counted, shelf_of
from kitsolver.explain.demands.demand import Easing, easing
from kitsolver.explain.demands.explanation import RuleExplanation
from kitsolver.explain.demands.least_change import closest_reached
from kitsolver.explain.demands.own_rule import OwnRule, where_text
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.rules import limits as rule
from kitsolver.solve.tally import Tally

# More than any sum of a kit that can be made.
_NO_LIMIT = "1000000000000"


@dataclass(frozen=True)
class LimitKept(OwnRule):
    """A limit: its most can be raised, and its least lowered."""

    limit: Limit

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield the lowest most, or the highest least, with which there is a kit; else no limit."""
        eased = False
        for key in ("most", "least"):
            asked = getattr(self.limit, key)
            found = None if asked is None else self._nearest(relaxed, key)
            if found is not None:
                eased = True
                pain = abs(float((found - asked) / max(asked, Decimal(1))))
                says = f'let "{self.name}" be {_said(self.limit, key, found)}'
                yield easing(relaxed, (self.kind, self.name, key), f"{found:f}", says, pain)
        if not eased:
            yield from super().ease(relaxed)

    def _nearest(self, relaxed: RelaxedBrief, key: str) -> Decimal | None:
        """Return the value nearest to what is asked with which there is a kit."""
        path = (self.kind, self.name, key)
        step = Decimal(1).scaleb(-self._decimals(relaxed))
        away, asked = step if key == "most" else -step, Decimal(getattr(self.limit, key))

        def reached(value: str) -> Decimal | None:
            """Return the value that some kit within some other value comes to."""
            if (Decimal(value) - asked) * away <= 0:
                # What is asked fails, and so does all beyond it.
                return None
            eased = relaxed.with_value(path, value)
            # Where steps are fine, the cheapest kit is often the one that comes to least.
            kit = eased.cheapest_sums if self.limit.a_head else eased.some_kit
            return None if kit is None else self._figure(kit, eased, step, up=key == "most")

        works = None
        if key == "least":
            # Every value below the greatest sum works, and none above it.
            asking = relaxed.with_value(path, f"{min(step, asked):f}")
            greatest = asking.greatest_sums(self.name)
            if greatest is not None:
                kit, proven = greatest
                works = self._figure(kit, asking, step, up=False)
                if proven:
                    return works
        if works is None:
            works = reached(_NO_LIMIT if key == "most" else "0")
        return None if works is None else closest_reached(works, asked, away, reached)

    def _figure(self, kit: Tally, relaxed: RelaxedBrief, step: Decimal, *, up: bool) -> Decimal:
        """Return the bound that a kit just keeps, rounded so that it keeps it."""
        total = rule.sum_of(self.limit, kit)
        if self.limit.a_head:
            total /= relaxed.now.kits
        exact = Decimal(total.numerator) / Decimal(total.denominator)
        return exact.quantize(step, ROUND_CEILING if up else ROUND_FLOOR).normalize()

    def _decimals(self, relaxed: RelaxedBrief) -> int:
        """Return of how many decimals the sums can be."""
        limit, catalogue = self.limit, relaxed.catalogue
        if limit.column is None:
            return 0
        if limit.a_head and relaxed.now.kits > 1:
            return MOST_DECIMALS
        most = 0
        for category in catalogue.rows:
            shelf = shelf_of(category, relaxed.now, catalogue)
            if shelf is not None and limit.where.names(category):
                for numbers in shelf.numbers(limit.column).distinct:
                    most = max(most, *map(_decimals_of, numbers), 0)
        return most


def _decimals_of(number: Fraction) -> int:
    return next((n for n in range(MOST_DECIMALS) if number * 10**n % 1 == 0), MOST_DECIMALS)


def _of_unit(limit: Limit, own: Shelf) -> Fraction:
    """Return what a unit of the only row of a shelf counts for a limit."""
    if not limit.where.names(own.category) or not meeting(own, limit.where).all():
        return Fraction(0)
    said = own.numbers(limit.column or "")
    return next(iter(said.distinct[said.codes[0]]), Fraction(0))


def _said(limit: Limit, key: str, value: Decimal) -> str:
    """Return one bound of a limit, as a part of a sentence."""
    side = "at least" if key == "least" else "at most"
    a_head = " for each kit" if limit.a_head else ""
    if limit.column is None:
        return f"{side} {value:f} {'line' if value == 1 else 'lines'}"
    return f"{side} {value:f} of {limit.column}{a_head}"


def _demands(brief: Brief, _: Catalogue) -> Iterator[LimitKept]:
    for limit in brief.limits:
        bounds = [
            _said(limit, key, value)
            for key in ("least", "most")
            if (value := getattr(limit, key)) is not None
        ]
        named = limit.where != type(limit.where)()
        of = f", counting {where_text(limit.where)}" if named else " in all"
        says = f'the rule "{limit.name}" allows {" and ".join(bounds)}{of}'
        yield LimitKept(f"limits: {limit.name}", says, "limits", limit.name, limit)


def _bars(sku: str, brief: Brief, catalogue: Catalogue) -> Iterator[str]:
    category = catalogue.row(sku)["category"]
    shelf = shelf_of(category, brief, catalogue)
    if shelf is None:
        return
    own = shelf.only(sku)
    # Only skeins that are bought count, and of thread at home there may be none.
    may_count_nothing = category == "thread" and catalogue.at_home(sku) is not None
    for limit in brief.limits:
        if limit.blank != 0 and blank_and_counted(own, limit).all():
            yield f'It says no {limit.column}, which the rule "{limit.name}" adds up.'
        elif limit.most is not None and limit.column is not None and not may_count_nothing:
            total, allowed = _of_unit(limit, own), Fraction(limit.figure(limit.most, brief.kits))
            if total > allowed:
                says = f"A unit of it has {float(total):g} of {limit.column}"
                yield f'{says}, and the rule "{limit.name}" allows {float(allowed):g}.'


EXPLANATION = RuleExplanation(rule.Limits, eases=("limits",), demands=_demands, bars=_bars)
