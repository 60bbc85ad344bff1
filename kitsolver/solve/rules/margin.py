"""What the kit costs the shop leaves it the margin that is asked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitsolver.brief.brief import Brief
from kitsolver.shop.catalogue import NOT_GIVEN
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
        """Bar rows that do not say what they cost the shop, unless the buyer owns them."""
        if rows.brief.most_trade_cost is None:
            return None
        admitted: Mask = rows.owned | (rows.table["trade_cost"] != NOT_GIVEN)
        return admitted

    def dominance(self, rows: Rows) -> Dominance:
        """Compare what rows cost the shop: less is better."""
        if not rows.table["trade_cost"].any():
            return Dominance()
        return Dominance(at_least=(-rows.table["trade_cost"],))

    def ties(self, candidates: Candidates) -> bool:
        """Tell whether a second sum is limited beside the goods total."""
        return candidates.brief.most_trade_cost is not None

    def constrain(self, model: KitModel) -> None:
        """Limit what the lines cost the shop."""
        limit = model.candidates.brief.most_trade_cost
        if limit is not None:
            cost = (
                units * model.rows[sku, units].measure("trade_cost") * taken
                for (sku, units), taken in model.lines.items()
            )
            model.add(self, model.total(cost) <= limit)

    def holds(self, added: Added, candidates: Candidates) -> bool:
        """Hold what the lines cost the shop against the limit."""
        limit = candidates.brief.most_trade_cost
        return limit is None or added.total("trade_cost") <= limit
