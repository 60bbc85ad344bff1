"""One of the needle's sizes suits the effective count."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kitsolver.brief.brief import Brief
from kitsolver.craft.needles import suiting
from kitsolver.shop.distinct import distinct
from kitsolver.solve.candidates.candidate import Candidate, Chart, Fabric, Needle
from kitsolver.solve.rules.rule import CompatibilityRule, Dominance, Rows

if TYPE_CHECKING:
    from kitsolver.solve.model.kit_model import KitModel


class SuitingNeedle(CompatibilityRule):
    """Ties a needle to the fabric's effective count."""

    name = "needle"
    sentence = "One of the needle's sizes suits the effective count."
    by_count = True

    def concerns(self, candidate: Candidate) -> bool:
        """Needles whose sizes are known."""
        return isinstance(candidate, Needle) and candidate.sizes is not None

    def key(self, chart: Chart, fabric: Fabric, brief: Brief) -> frozenset[int] | None:
        """Return the sizes that suit the fabric."""
        if fabric.count is None:
            return None
        return suiting(fabric.count, brief.fit.needle_table)

    def accepts(self, candidate: Any, key: frozenset[int] | None) -> bool:
        """Accept a needle with one of the sizes."""
        return key is None or bool(candidate.sizes & key)

    def dominance(self, rows: Rows) -> Dominance:
        """Compare needles of equal sizes."""
        if rows.category != "needle":
            return Dominance()
        return Dominance(equal=(distinct(rows.table["needle_sizes"])[0],))

    def constrain(self, model: KitModel) -> None:
        """Allow a needle only on suiting fabrics: the chart does not matter, which is stronger."""
        brief, charts = model.candidates.brief, list(model.charts)
        for candidate, taken in model.rows_by_themselves:
            if self.concerns(candidate):
                suiting_fabrics = model.total(
                    variable
                    for (fabric, _), variable in model.fabrics.items()
                    if self.accepts(candidate, self.key(charts[0], fabric, brief))
                )
                model.add(self, taken <= suiting_fabrics)
