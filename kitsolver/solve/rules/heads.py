"""Every head gets what it needs, and no unit more is bought."""

from __future__ import annotations

import numpy as np

from kitsolver.solve.rules.rule import Dominance, Rows, Rule


class Heads(Rule):
    """Fixes the units of every line.

    The presolve writes them on each candidate, and `candidates.quantities` has those that depend
    on other choices; so nothing is left to constrain.
    """

    name = "heads"
    sentence = "Every head gets what it needs, and no unit more is bought."

    def dominance(self, rows: Rows) -> Dominance:
        """Compare no fabric of the home list: the chart decides how many units are bought."""
        home = rows.table["at_home"] > 0
        if not (rows.need and rows.category == "fabric" and home.any()):
            return Dominance()
        return Dominance(equal=(np.where(home, 1 + np.arange(len(rows)), 0),))
