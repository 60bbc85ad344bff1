"""The kit holds exactly one choice of every need."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitsolver.solve.rules.rule import Rule

if TYPE_CHECKING:
    from kitsolver.solve.model.kit_model import KitModel


class Needs(Rule):
    """One choice a need; thread that is matched to a chart is chosen colour by colour instead."""

    name = "needs"
    sentence = "The kit holds exactly one choice of every need."

    def constrain(self, model: KitModel) -> None:
        """Choose one chart, one fabric, and one row of every other need."""
        model.add(self, model.total(model.charts.values()) == 1)
        model.add(self, model.total(model.fabrics.values()) == 1)
        for need in model.candidates.plain_needs:
            rows = model.candidates.needs[need]
            model.add(self, model.total(model.plain[row] for row in rows) == 1)
