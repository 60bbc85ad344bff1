"""No more units are taken than there are in stock."""

from __future__ import annotations

from kitsolver.solve.candidates.candidate import Candidate
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.rules.rule import Added, Dominance, Mask, Rows, Rule


def in_stock(candidate: Candidate, units: int) -> bool:
    """Tell whether there are so many units of a row, at home and in the shop."""
    return candidate.bought(units) <= candidate.stock


class Stock(Rule):
    """Bars rows, and units of a row, of which there are too few.

    Units that depend on other choices, of fabric and thread, are held against stock where they are
    reckoned: in the model's variables and in the subproblems of charts.
    """

    name = "stock"
    sentence = "No more units are taken than there are in stock."

    def admits(self, rows: Rows) -> Mask:
        """Bar rows of which there are fewer than the kit takes at the least."""
        admitted: Mask = rows.table["units"] - rows.table["at_home"] <= rows.table["stock"]
        return admitted

    def dominance(self, rows: Rows) -> Dominance:
        """Compare the stock of fabrics, whose units depend on the chart."""
        if rows.category != "fabric" or not rows.need:
            return Dominance()
        if rows.brief.kits == 1 and not (rows.table["sold_by"] == 1).any():
            return Dominance()
        return Dominance(at_least=(rows.table["stock"],))

    def holds(self, added: Added, candidates: Candidates) -> bool:
        """Hold every line's units against the row's stock."""
        return all(in_stock(added.rows[sku], units) for sku, units in added.units.items())
