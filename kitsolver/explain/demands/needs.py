"""Needs: the kit holds one choice of each. What is at home may be that choice."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from kitsolver.brief.brief import Brief
from kitsolver.explain.demands.demand import Demand, Easing, easing, easings_that_work
from kitsolver.explain.demands.explanation import Conflict, Obstacle, RuleExplanation
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.explain.wording import is_or_are, listed
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.skipped import Skipped
from kitsolver.solve.rules import needs as rule


@dataclass(frozen=True)
class AtHome(Demand):
    """That what is at home is used for a need."""

    need: str

    @property
    def _path(self) -> tuple[str, ...]:
        return ("needs", self.need, "have")

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief in which the need may be bought, too."""
        return replace(relaxed, may_be_bought=(*relaxed.may_be_bought, self.need))

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield that the need is bought."""
        for bought in easings_that_work(relaxed, self._path, [False]):
            yield easing(relaxed, self._path, bought, f"buy the {self.need} too")


def _demands(brief: Brief, catalogue: Catalogue) -> Iterator[Demand]:
    kept = {catalogue.row(sku)["category"] for sku in brief.choose.keep}
    for need in brief.holds:
        have = brief.need(need).have
        # Shades at home are never in the way: the shop's compete with them.
        if isinstance(have, tuple):
            continue
        if have and (have is not True or need in kept):
            are = is_or_are(need)
            says = f"the {need} that {are} at home {are} to do"
            yield AtHome(f"needs.{need}.have", says, need)


def _obstacles(conflict: Conflict) -> Iterator[Obstacle]:
    """Tell of needs for which the shop has nothing at all."""
    alone, catalogue = conflict.alone, conflict.alone.catalogue
    empty = {need for need in alone.now.holds if not len(catalogue.rows.get(need, ()))}
    if not empty:
        return
    candidates = alone.candidates
    missing = [n for n in candidates.weights if n in empty and not candidates.needs[n]]
    skipped = {each.category for each in catalogue.skipped}
    for need in missing:
        if need in skipped:
            yield Obstacle(_skipped_text(need, catalogue.skipped), {need: True})
    missing = [need for need in missing if need not in skipped]
    if missing:
        says = f"the catalogue has nothing for {listed(missing)}"
        yield Obstacle(says, dict.fromkeys(missing, True))


def _skipped_text(need: str, skipped: Iterable[Skipped]) -> str:
    """Say that no row of a need is offered, for all of them were refused or passed over."""
    of_need = [each for each in skipped if each.category == need]
    ways = " or ".join(dict.fromkeys(each.kind for each in of_need))
    rows = sum(each.rows for each in of_need)
    if rows == 1:
        return f"the only row of {need} was {ways}"
    return f"all {rows:,} rows of {need} were {ways}"


def _bars(sku: str, brief: Brief, catalogue: Catalogue) -> Iterator[str]:
    category = catalogue.row(sku)["category"]
    have = category in brief.holds and brief.need(category).have
    if have and not isinstance(have, tuple):
        yield f"What is at home is to do as {category}, so that none is bought."


EXPLANATION = RuleExplanation(
    rule.Needs, eases=("needs.*.have",), demands=_demands, obstacles=_obstacles, bars=_bars
)
