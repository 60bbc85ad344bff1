"""The finished design is within, and contains, the rectangles that the brief asks for."""

from __future__ import annotations

from kitsolver.brief.brief import Brief
from kitsolver.solve.candidates.candidate import Chart, Fabric
from kitsolver.solve.candidates.quantities import finished_of
from kitsolver.solve.rules.rule import Rule


class FinishedSize(Rule):
    """`size`: bars a fabric for a design that finishes too large or too small on it.

    Fabrics of one effective count are alike to this rule, so dominance needs nothing more.
    """

    name = "size"
    sentence = "The finished design is within, and contains, the rectangles that are asked for."

    def allows(self, chart: Chart, fabric: Fabric, brief: Brief) -> bool:
        """Hold the size of the finished design against the rectangles; unknown is allowed."""
        if not brief.size.asked:
            return True
        finished = finished_of(chart, fabric.count)
        return finished is None or brief.size.allows(finished)
