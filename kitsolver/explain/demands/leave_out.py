"""Rows left out: nothing that the brief leaves out is in the kit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kitsolver.brief.brief import Brief
from kitsolver.explain.demands.demand import Demand, Easing, easing, easings_that_work
from kitsolver.explain.demands.explanation import RuleExplanation
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.rules import leave_out as rule

_PATH = ("choose", "leave_out")


@dataclass(frozen=True)
class LeaveOut(Demand):
    """One row that is left out."""

    sku: str

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief that lets the row in."""
        return relaxed.with_value(_PATH, self._others(relaxed))

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield that the row may be in the kit."""
        for rest in easings_that_work(relaxed, _PATH, [self._others(relaxed)]):
            yield easing(relaxed, _PATH, rest, f"let {self.sku} be in the kit")

    def _others(self, relaxed: RelaxedBrief) -> list[str]:
        return [sku for sku in relaxed.value(*_PATH) if sku != self.sku]


def _demands(brief: Brief, catalogue: Catalogue) -> Iterator[Demand]:
    for sku in brief.choose.leave_out:
        if sku in catalogue:
            yield LeaveOut(f"choose.leave_out: {sku}", f"{sku} is left out", sku)


def _bars(sku: str, brief: Brief, _: Catalogue) -> Iterator[str]:
    if sku in brief.choose.leave_out:
        yield "The brief leaves it out."


EXPLANATION = RuleExplanation(
    rule.LeaveOut, eases=("choose.leave_out",), demands=_demands, bars=_bars
)
