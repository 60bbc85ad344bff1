"""Ranges: the least and the most that a numeric column of a category's rows may say."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.brief.conditions import MOST_DECIMALS, Conditions
from kitsolver.brief.frozen import FrozenDict
from kitsolver.brief.meeting import meeting
from kitsolver.brief.validate_rules import shelf_of
from kitsolver.explain.demands.condition import Condition
from kitsolver.explain.demands.conditions import tables_of
from kitsolver.explain.demands.demand import Demand, Easing, easing
from kitsolver.explain.demands.explanation import RuleExplanation
from kitsolver.explain.demands.least_change import least_change
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.explain.wording import is_or_are
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.rules import conditions as rule

_STEP = Decimal(1).scaleb(-MOST_DECIMALS)
_WORDS = {"at_least": "or more", "at_most": "or less"}


@dataclass(frozen=True)
class Bound(Condition):
    """One end of a range.

    Parameters
    ----------
    name : str
        ``at_least`` or ``at_most``.
    """

    name: str
    column: str
    value: Decimal

    @property
    def alone(self) -> dict[str, Any]:
        """The condition as a table of conditions with nothing else."""
        return {self.name: {self.column: self.value}}

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief without the bound."""
        return relaxed.with_value((*self.table, self.name), self._others(relaxed))

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield the nearest bound with which there is a kit, or that there is none."""
        path = (*self.table, self.name, self.column)
        found = least_change(relaxed, path, [f"{value:f}" for value in self._further(relaxed)])
        if found is not None:
            pain = float(abs(Decimal(found) - self.value) / max(self.value, Decimal(1)))
            says = f"let the {self.category} have {self.column} {found} {_WORDS[self.name]}"
            yield easing(relaxed, path, found, says, pain)
        elif self.drop(relaxed).possible:
            table, says = (
                (*self.table, self.name),
                f"let the {self.category} have any {self.column}",
            )
            yield easing(relaxed, table, self._others(relaxed), says)

    def _others(self, relaxed: RelaxedBrief) -> dict[str, Any]:
        held = relaxed.value(*self.table, self.name)
        return {column: value for column, value in held.items() if column != self.column}

    def _further(self, relaxed: RelaxedBrief) -> list[Decimal]:
        """Return the numbers on the shelf beyond the bound, the nearest first."""
        shelf = shelf_of(self.category, relaxed.brief, relaxed.catalogue)
        if shelf is None:
            return []
        least = self.name == "at_least"
        rounding = ROUND_FLOOR if least else ROUND_CEILING
        values = {
            (Decimal(one.numerator) / Decimal(one.denominator)).quantize(_STEP, rounding)
            for numbers in shelf.numbers(self.column, of_any=True).distinct
            for one in numbers
        }
        beyond = [one for one in values if (one < self.value if least else one > self.value)]
        return [one.normalize() for one in sorted(beyond, reverse=least)]


def _demands(brief: Brief, catalogue: Catalogue) -> Iterator[Demand]:
    for category, table in tables_of(brief, catalogue):
        asked = brief.conditions(category)
        for name in _WORDS:
            for column, value in getattr(asked, name).items():
                key = ".".join((*table, name, column))
                start = f"the {category} {is_or_are(category)} to have"
                says = f"{start} {column} {value:f} {_WORDS[name]}"
                yield Bound(key, says, category, table, name, column, value)


def _bars(sku: str, brief: Brief, catalogue: Catalogue) -> Iterator[str]:
    row = catalogue.row(sku)
    category, shelf = row["category"], shelf_of(row["category"], brief, catalogue)
    have = category in brief.holds and brief.need(category).have
    if shelf is None or (have and not isinstance(have, tuple)):
        return
    asked, own = brief.conditions(category), shelf.only(sku)
    for name in _WORDS:
        for column, value in getattr(asked, name).items():
            alone = Conditions.model_validate({name: FrozenDict({column: value})})
            if not meeting(own, alone).all():
                said = own.cells(column)[0] or "blank"
                asks = f"the brief asks for {value:f} {_WORDS[name]}"
                yield f"Its {column} is {said}, and {asks}."


EXPLANATION = RuleExplanation(
    rule.RowConditions,
    eases=tuple(f"{t}.*.{name}" for t in ("needs", "extras.conditions") for name in _WORDS),
    demands=_demands,
    bars=_bars,
)
