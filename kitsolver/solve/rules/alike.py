"""Rows have one value of a column in common."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import reduce
from typing import TYPE_CHECKING, Any

import numpy as np

from kitsolver.brief.brief import Brief
from kitsolver.brief.meeting import values_at_home
from kitsolver.brief.own_rules import Alike
from kitsolver.shop.distinct import distinct
from kitsolver.solve.rules.rule import Added, Dominance, Mask, Rows, Rule, Table

if TYPE_CHECKING:
    from kitsolver.solve.candidates.candidates import Candidates
    from kitsolver.solve.model.kit_model import KitModel


def values_of(rule: Alike) -> str:
    """Return the name under which a candidate says its values; None goes with every value."""
    return f"alike: {rule.name}"


class AlikeRows(Rule):
    """`[[alike]]`: there is one value that every row of some categories has."""

    name = "alike"
    sentence = "The rows that the brief wants alike have a value in common."

    def columns(self, brief: Brief) -> tuple[str, ...]:
        """Read the values of each row."""
        return tuple(map(values_of, brief.alike))

    def reads(self, rows: Rows) -> Table:
        """Return the values of each row; None where the rule is about other rows."""
        found: Table = {}
        for rule in rows.brief.alike:
            cells = np.full(len(rows), None, dtype=object)
            if rule.of is None or rows.category in rule.of:
                cells = rows.as_written.values(rule.column)
                if rule.blank == "any":
                    cells[:] = [cell or None for cell in cells]
            found[values_of(rule)] = cells
        return found

    def reads_at_home(
        self, category: str, known: Mapping[str, str] | None, brief: Brief
    ) -> Mapping[str, Any]:
        """Return the same of a thing at home: what is unknown of it goes with every value."""
        return {
            values_of(rule): values_at_home(known, category, rule.column)
            if known is not None and (rule.of is None or category in rule.of)
            else None
            for rule in brief.alike
        }

    def admits(self, rows: Rows) -> Mask | None:
        """Bar rows that have no value where one is asked for."""
        good = np.ones(len(rows), dtype=bool)
        for rule in rows.brief.alike:
            good &= np.array([cell != frozenset() for cell in rows.table[values_of(rule)]])
        return good

    def dominance(self, rows: Rows) -> Dominance:
        """Compare rows of the same values."""
        columns = (rows.table[values_of(rule)] for rule in rows.brief.alike)
        return Dominance(equal=tuple(distinct(column)[0] for column in columns))

    def ties(self, candidates: Candidates) -> bool:
        """Tell whether some rows depend on others."""
        return bool(candidates.brief.alike)

    def constrain(self, model: KitModel) -> None:
        """Choose one value, which every row that is taken has."""
        for rule in model.candidates.brief.alike:
            rows = [
                (values, taken)
                for row, taken in model.taken
                if (values := row.values(values_of(rule))) is not None
            ]
            chosen = {value: model.flag() for value in _all(values for values, _ in rows)}
            if not chosen:
                continue
            model.add(self, model.total(chosen.values()) == 1)
            for values, taken in rows:
                model.add(self, taken <= model.total(chosen[value] for value in _all([values])))

    def holds(self, added: Added, candidates: Candidates) -> bool:
        """Tell whether the rows of a selection have a value in common."""
        for rule in candidates.brief.alike:
            said = [row.values(values_of(rule)) for row in added.taken]
            some = [values for values in said if values is not None]
            if some and not reduce(frozenset.intersection, some):
                return False
        return True


def _all(values: Iterable[frozenset[Any]]) -> list[Any]:
    """Return every value of some sets once, in an order that does not change from run to run."""
    return sorted({one for some in values for one in some}, key=lambda one: (str(type(one)), one))
