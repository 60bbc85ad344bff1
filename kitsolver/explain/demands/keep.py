"""Kept rows: everything that the brief keeps is in the kit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from kitsolver.brief.brief import Brief
from kitsolver.explain.demands.demand import Demand, Easing, easing, easings_that_work
from kitsolver.explain.demands.explanation import Conflict, Obstacle, RuleExplanation
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.explain.wording import listed, row_text
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.rules import keep as rule

_PATH = ("choose", "keep")
# So many rows, the nearest in price, are tried in place of one that is kept.
_MOST_SUBSTITUTES = 5


@dataclass(frozen=True)
class Keep(Demand):
    """One kept row."""

    sku: str

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief that does not keep the row."""
        return relaxed.with_value(_PATH, self._others(relaxed))

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield another row that is kept instead, or that none is."""
        kept, catalogue = relaxed.value(*_PATH), relaxed.catalogue
        for other in self._substitutes(relaxed):
            instead = [other if sku == self.sku else sku for sku in kept]
            if relaxed.works_with(_PATH, instead):
                says = f"keep {row_text(other, catalogue)} instead of {self.sku}"
                yield easing(relaxed, _PATH, instead, says)
                return
        for rest in easings_that_work(relaxed, _PATH, [self._others(relaxed)]):
            yield easing(relaxed, _PATH, rest, f"keep {self.sku} no longer")

    def _others(self, relaxed: RelaxedBrief) -> list[str]:
        return [sku for sku in relaxed.value(*_PATH) if sku != self.sku]

    def _substitutes(self, relaxed: RelaxedBrief) -> list[str]:
        catalogue = relaxed.catalogue
        rows = catalogue.rows[catalogue.row(self.sku)["category"]]
        away = np.abs(rows["price"] - catalogue.goods(self.sku)["price"])
        # Rows are sorted by sku, and a stable sort keeps that among those as near.
        nearest_first = rows["sku"][np.argsort(away, kind="stable")].tolist()
        unwanted = {*relaxed.value(*_PATH), *relaxed.value("choose", "leave_out")}
        return [sku for sku in nearest_first if sku not in unwanted][:_MOST_SUBSTITUTES]


def _demands(brief: Brief, catalogue: Catalogue) -> Iterator[Demand]:
    for sku in brief.choose.keep:
        says = f"{row_text(sku, catalogue)} is to be kept"
        yield Keep(f"choose.keep: {sku}", says, sku)


def _obstacles(conflict: Conflict) -> Iterator[Obstacle]:
    """Tell of kept rows that would have to share one place in the kit."""
    if len(conflict.alone.value("choose", "keep")) < 2:
        return
    for category, held in conflict.alone.candidates.competing_keeps.items():
        yield Obstacle(f"a kit holds one {category}, and {listed(held)} are all to be kept")


def _bars(sku: str, brief: Brief, catalogue: Catalogue) -> Iterator[str]:
    category = catalogue.row(sku)["category"]
    for kept in brief.choose.keep:
        if kept != sku and category != "thread" and catalogue.row(kept)["category"] == category:
            yield f"{kept} is to be kept, and a kit holds one {category}."


EXPLANATION = RuleExplanation(
    rule.Keep, eases=("choose.keep",), demands=_demands, obstacles=_obstacles, bars=_bars
)
