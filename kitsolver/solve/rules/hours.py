"""The design is finished in the hours that the brief allows."""

from __future__ import annotations

from fractions import Fraction

from kitsolver.brief.brief import Brief
from kitsolver.solve.candidates.candidate import Chart, Fabric
from kitsolver.solve.rules.rule import Rule


class Hours(Rule):
    """`lesson.hours_at_most`: bars charts with more stitches than a head makes in that time."""

    name = "hours"
    sentence = "The design is finished in the hours that are allowed."

    def allows(self, chart: Chart, fabric: Fabric, brief: Brief) -> bool:
        """Hold the stitches of a chart against the hours; a chart without colours is allowed."""
        most = brief.lesson.hours_at_most
        if most is None or chart.shades is None:
            return True
        stitches = sum((Fraction(one.stitches) for one in chart.shades), Fraction(0))
        return stitches <= Fraction(most) * Fraction(brief.lesson.stitches_an_hour)
