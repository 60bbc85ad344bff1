"""Where the kit holds some rows, it holds others, holds none of them, or only such as will do."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import numpy as np

from kitsolver.brief.brief import Brief
from kitsolver.brief.meeting import meeting, met_at_home
from kitsolver.brief.own_rules import Pair, Where
from kitsolver.solve.rules.rule import Added, Dominance, Mask, Rows, Rule, Table

if TYPE_CHECKING:
    from kitsolver.solve.candidates.candidates import Candidates
    from kitsolver.solve.model.kit_model import KitModel


def if_of(pair: Pair) -> str:
    """Return the name under which a candidate says whether it makes the pair ask."""
    return f"pairs: {pair.name} if"


def asked_of(pair: Pair) -> str:
    """Return the name under which a candidate says whether it is what the pair asks about.

    For `with` and `never` that is a row that meets the conditions, for `then` one that breaks them.
    """
    return f"pairs: {pair.name} asked"


class Pairs(Rule):
    """`[[pairs]]`: some row in the kit asks for, or bars, other rows."""

    name = "pairs"
    sentence = "What the brief asks of the kit where it holds certain rows is met."

    def columns(self, brief: Brief) -> tuple[str, ...]:
        """Read of each row which sides of the pairs it meets."""
        return tuple(name(pair) for pair in brief.pairs for name in (if_of, asked_of))

    def reads(self, rows: Rows) -> Table:
        """Return which rows make each pair ask, and which it asks about."""
        found: Table = {}
        for pair in rows.brief.pairs:
            side, where = pair.asks
            asks = pair.if_ is not None
            found[if_of(pair)] = _meets(pair.if_, rows) if asks else _none(rows)
            found[asked_of(pair)] = _meets(where, rows, breaks=side == "then")
        return found

    def reads_at_home(
        self, category: str, known: Mapping[str, str] | None, brief: Brief
    ) -> Mapping[str, Any]:
        """Return the same of a thing at home: what is unknown of it bars nothing."""
        found: dict[str, Any] = {}
        for pair in brief.pairs:
            side, where = pair.asks
            found[if_of(pair)] = int(_met(pair.if_, category, known) is True)
            asked = _met(where, category, known)
            if side == "then":
                breaks = known is not None and where.names(category) and asked is False
                found[asked_of(pair)] = int(breaks)
            else:
                found[asked_of(pair)] = int(asked is True or (side == "with" and asked is None))
        return found

    def admits(self, rows: Rows) -> Mask | None:
        """Bar rows that are always barred, or that bar themselves."""
        good = np.ones(len(rows), dtype=bool)
        for pair in rows.brief.pairs:
            side, _ = pair.asks
            if side != "with":
                asks = pair.if_ is None or rows.table[if_of(pair)] > 0
                good &= ~(asks & (rows.table[asked_of(pair)] > 0))
        return good

    def dominance(self, rows: Rows) -> Dominance:
        """Compare rows that meet the same sides of every pair."""
        return Dominance(equal=tuple(rows.table[name] for name in self.columns(rows.brief)))

    def ties(self, candidates: Candidates) -> bool:
        """Tell whether some row depends on others."""
        return bool(candidates.brief.pairs)

    def constrain(self, model: KitModel) -> None:
        """Tie what each pair asks about to what makes it ask."""
        for pair in model.candidates.brief.pairs:
            side, _ = pair.asks
            asked = [taken for row, taken in model.taken if row.measure(asked_of(pair))]
            asks: Any = 1
            if pair.if_ is not None:
                asks = model.flag()
                for row, taken in model.taken:
                    if row.measure(if_of(pair)):
                        model.add(self, taken <= asks)
            if side == "with":
                model.add(self, model.total(asked) >= asks)
            else:
                for taken in asked:
                    model.add(self, taken <= 1 - asks)

    def holds(self, added: Added, candidates: Candidates) -> bool:
        """Hold every pair against the rows of a selection."""
        for pair in candidates.brief.pairs:
            side, _ = pair.asks
            asks = pair.if_ is None or any(row.measure(if_of(pair)) for row in added.taken)
            asked = any(row.measure(asked_of(pair)) for row in added.taken)
            if asks and asked != (side == "with"):
                return False
        return True


def _none(rows: Rows) -> Any:
    return np.zeros(len(rows), dtype=np.int64)


def _meets(where: Where | None, rows: Rows, *, breaks: bool = False) -> Any:
    """Return which rows of the categories meant meet, or break, conditions: 1 for yes."""
    if where is None or not where.names(rows.category):
        return _none(rows)
    met = meeting(rows.as_written, where)
    return (~met if breaks else met).astype(np.int64)


def _met(where: Where | None, category: str, known: Mapping[str, str] | None) -> bool | None:
    """Tell whether a thing at home meets conditions; None if that is unknown."""
    if where is None or known is None or not where.names(category):
        return False
    return met_at_home(known, category, where)
