"""Everything that the brief keeps is in the kit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitsolver.solve.rules.rule import Rule

if TYPE_CHECKING:
    from kitsolver.solve.model.kit_model import KitModel


class Keep(Rule):
    """`choose.keep` forces a line for each sku.

    Where a need has one choice, the presolve leaves out its other rows under this rule.
    """

    name = "keep"
    sentence = "Everything that the brief keeps is in the kit."

    def constrain(self, model: KitModel) -> None:
        """Force one line of every kept sku."""
        for kept in sorted(set(model.candidates.brief.choose.keep)):
            lines = (taken for (sku, _), taken in model.lines.items() if sku == kept)
            model.add(self, model.total(lines) == 1)
