"""Conditions that every row of the kit is to meet, need or extra."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kitsolver.brief.brief import Brief
from kitsolver.brief.meeting import Shelf, carrying
from kitsolver.explain.demands.demand import Demand, Easing, easing, easings_that_work
from kitsolver.explain.demands.explanation import RuleExplanation
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.rules import conditions as rule


@dataclass(frozen=True)
class TagsOfAll(Demand):
    """Tags that every row is to carry, or to go without.

    Parameters
    ----------
    name : str
        ``tags_all`` or ``tags_none``.
    """

    name: str
    words: tuple[str, ...]

    @property
    def _path(self) -> tuple[str, ...]:
        return ("all", self.name)

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief without the condition."""
        return relaxed.with_value(self._path, [])

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield one tag that does not matter after all, or that none does."""
        fewer = [[word for word in self.words if word != gone] for gone in self.words]
        for left in easings_that_work(relaxed, self._path, [*fewer, []]):
            gone = " and ".join(word for word in self.words if word not in left)
            does = "carry" if self.name == "tags_none" else "go without"
            yield easing(relaxed, self._path, left, f"let goods {does} the tag {gone}")


def _demands(brief: Brief, _: Catalogue) -> Iterator[Demand]:
    if words := brief.all.tags_none:
        says = f"everything is to go without the tag {' or '.join(words)}"
        yield TagsOfAll("all.tags_none", says, "tags_none", words)
    if words := brief.all.tags_all:
        says = f"everything is to carry the tag {' and '.join(words)}"
        yield TagsOfAll("all.tags_all", says, "tags_all", words)


def _bars(sku: str, brief: Brief, catalogue: Catalogue) -> Iterator[str]:
    row, whole = catalogue.row(sku), brief.all
    category = row["category"]
    own = Shelf(category, catalogue.rows[category], catalogue.cells).only(sku)
    if carrying(own, whole).all():
        return
    tags = f"the tags {row['tags']}" if row.get("tags") else "no tags"
    wanted = [f"all of {' and '.join(whole.tags_all)}"] if whole.tags_all else []
    wanted += [f"none of {' and '.join(whole.tags_none)}"] if whole.tags_none else []
    yield f"It carries {tags}, and the brief asks {' and '.join(wanted)} of the whole kit."


EXPLANATION = RuleExplanation(
    rule.RowConditions, eases=("all.tags_none", "all.tags_all"), demands=_demands, bars=_bars
)
