"""The design with its margins is within the fabric, one cut for every head."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from kitsolver.solve.rules.rule import Dominance, Rows, Rule

if TYPE_CHECKING:
    from kitsolver.solve.model.kit_model import KitModel


class Fit(Rule):
    """Ties a chart to a fabric and to the units of it (`candidates.quantities.fabric_units`)."""

    name = "fit"
    sentence = "The design with its margins is within the fabric, one cut for every head."

    def dominance(self, rows: Rows) -> Dominance:
        """Compare fabrics of one effective count by their sides, and rolls by their cuts."""
        if rows.category != "fabric" or not rows.need:
            return Dominance()
        table = rows.table
        # Not the weave itself counts, but over how many threads a stitch goes.
        equal = [2 * table["count"] + (table["weave"] == "aida")]
        rolls = table["sold_by"] == 1
        if rolls.any():
            equal += [rolls, rolls * table["step_cm"], rolls * table["smallest_cm"]]
        sides = np.sort(np.column_stack([table["width"], table["height"]]), axis=1)
        return Dominance(tuple(equal), (sides[:, 0], sides[:, 1]))

    def constrain(self, model: KitModel) -> None:
        """Allow a number of units of a fabric only beside a chart that takes as many."""
        for line, taken in model.fabrics.items():
            charts = (model.charts[chart] for chart in model.charts_taking[line])
            model.add(self, taken <= model.total(charts))
