"""Hours: the design is finished in the time that the brief allows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction

from kitsolver.brief.brief import Brief
from kitsolver.explain.demands.demand import Demand, Easing, easing
from kitsolver.explain.demands.explanation import RuleExplanation
from kitsolver.explain.demands.least_change import least_change
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.columns.charted import charted
from kitsolver.solve.candidates.candidate import Chart
from kitsolver.solve.rules import hours as rule

_PATH = ("lesson", "hours_at_most")
_HUNDREDTH = Decimal("0.01")


@dataclass(frozen=True)
class HoursAtMost(Demand):
    """The most hours that the design takes."""

    hours: Decimal

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief that allows any time."""
        return relaxed.with_value(_PATH, None)

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield the fewest more hours with which there is a kit, to hundredths."""
        takes = {_hours(chart, relaxed.now) for chart in relaxed.candidates.charts}
        more = sorted(hours for hours in takes if hours > self.hours)
        found = least_change(relaxed, _PATH, [f"{hours:f}" for hours in more])
        if found is not None:
            pain = float((Decimal(found) - self.hours) / self.hours)
            yield easing(relaxed, _PATH, found, f"allow {found} hours", pain)


def _hours(chart: Chart, brief: Brief) -> Decimal:
    """Return the hours that a head takes for a chart, rounded up to hundredths."""
    stitches = sum((Fraction(one.stitches) for one in chart.shades or ()), Fraction(0))
    hours = stitches / Fraction(brief.lesson.stitches_an_hour)
    exact = Decimal(hours.numerator) / Decimal(hours.denominator)
    return exact.quantize(_HUNDREDTH, ROUND_CEILING).normalize()


def _demands(brief: Brief, _: Catalogue) -> Iterator[Demand]:
    hours = brief.lesson.hours_at_most
    if hours is not None and "chart" in brief.holds:
        says = f"the design is to be finished in {hours.normalize():f} hours"
        yield HoursAtMost("lesson.hours_at_most", says, hours)


def _bars(sku: str, brief: Brief, catalogue: Catalogue) -> Iterator[str]:
    row, most = catalogue.row(sku), brief.lesson.hours_at_most
    if most is None or row["category"] != "chart" or "chart" not in brief.holds:
        return
    takes = _hours(Chart(sku, "chart", shades=charted(row["colours"])), brief)
    if takes > most:
        yield f"It takes {takes:f} hours, and the brief allows {most.normalize():f}."


EXPLANATION = RuleExplanation(
    rule.Hours, eases=("lesson.hours_at_most",), demands=_demands, bars=_bars
)
