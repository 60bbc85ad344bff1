"""What the kit costs the shop leaves it the margin that is asked."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from kitsolver.brief.brief import Brief
from kitsolver.shop.catalogue import NOT_GIVEN
from kitsolver.solve.candidates.candidate import Candidate
from kitsolver.solve.rules.rule import Added, Dominance, Mask, Rows, Rule

if TYPE_CHECKING:
    from kitsolver.solve.candidates.candidates import Candidates
    from kitsolver.solve.model.kit_model import KitModel


class Margin(Rule):
    """Limits the sum of units times trade cost (`Brief.most_trade_cost`)."""

    name = "margin"
    sentence = "What the kit costs the shop leaves it the margin that is asked."

    def columns(self, brief: Brief) -> tuple[str, ...]:
        """Read what rows cost the shop."""
        return () if brief.most_trade_cost is None else ("trade_cost",)

    def admits(self, rows: Rows) -> Mask | None:
        """Bar rows that do not say what they cost the shop, unless the buyer has them."""
        if rows.brief.most_trade_cost is None:
            return None
        at_home = (rows.table["at_home"] > 0) | (rows.table["home_length"] > 0)
        admitted: Mask = rows.owned | at_home | (rows.table["trade_cost"] != NOT_GIVEN)
        return admitted

    def dominance(self, rows: Rows) -> Dominance:
        """Compare what the units bought cost the shop: less is better."""
        if not rows.table["trade_cost"].any():
            return Dominance()
        bought = np.maximum(0, rows.table["units"] - rows.table["at_home"])
        return Dominance(at_least=(-rows.table["trade_cost"] * bought,))

    def ties(self, candidates: Candidates) -> bool:
        """Tell whether a second sum is limited beside the goods total."""
        return candidates.brief.most_trade_cost is not None

    def constrain(self, model: KitModel) -> None:
        """Limit what the lines cost the shop."""
        limit = model.candidates.brief.most_trade_cost
        if limit is not None:
            cost = (_cost(model.rows[line], line[1]) * taken for line, taken in model.lines.items())
            model.add(self, model.total(cost) <= limit)

    def holds(self, added: Added, candidates: Candidates) -> bool:
        """Hold what the lines cost the shop against the limit."""
        limit = candidates.brief.most_trade_cost
        return limit is None or trade_cost(added) <= limit


def trade_cost(added: Added) -> int:
    """Return what the units bought cost the shop, in minor units."""
    return sum(_cost(added.rows[sku], units) for sku, units in added.units.items())


def _cost(row: Candidate, units: int) -> int:
    return row.bought(units) * row.measure("trade_cost")
