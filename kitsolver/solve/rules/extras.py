"""Which extras a kit may hold, and how many."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitsolver.solve.rules.rule import Rule

if TYPE_CHECKING:
    from kitsolver.solve.model.kit_model import KitModel


class Extras(Rule):
    """`extras.spend`, `extras.categories` and `extras.most`."""

    name = "extras"
    sentence = "Extras come from the categories asked for, one a category, no more than asked."

    def constrain(self, model: KitModel) -> None:
        """Allow one extra a category, and no more than the brief wants in all."""
        most = model.candidates.brief.extras.most
        for category in sorted({extra.category for extra in model.extras}):
            same = (taken for extra, taken in model.extras.items() if extra.category == category)
            model.add(self, model.total(same) <= 1)
        if most is not None:
            model.add(self, model.total(model.extras.values()) <= most)
