"""Extras: whether any are wanted, of which categories, and how many."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kitsolver.brief.brief import Brief
from kitsolver.brief.goods import NEVER_UNASKED
from kitsolver.explain.demands.demand import Demand, Easing, easing, easings_that_work
from kitsolver.explain.demands.explanation import RuleExplanation
from kitsolver.explain.demands.least_change import least_change
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.rules import extras as rule

_SPEND, _CATEGORIES, _MOST = ("extras", "spend"), ("extras", "categories"), ("extras", "most")


@dataclass(frozen=True)
class NoExtras(Demand):
    """That no extras are wanted."""

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief that wants extras."""
        return relaxed.with_value(_SPEND, "leftover")

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield that extras may be bought."""
        for spend in easings_that_work(relaxed, _SPEND, ["leftover"]):
            yield easing(relaxed, _SPEND, spend, "let extras be bought")


@dataclass(frozen=True)
class ExtraCategories(Demand):
    """That extras come from some categories only."""

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief that lets extras be of any category.

        All are named: some are extras only where they are.
        """
        named = sorted(set(relaxed.catalogue.rows) - set(relaxed.value("holds")))
        return relaxed.with_value(_CATEGORIES, named)

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield that extras may be of the kept rows' categories, too."""
        now = relaxed.value(*_CATEGORIES)
        new = [category for category in _wanted_categories(relaxed) if category not in now]
        for categories in easings_that_work(relaxed, _CATEGORIES, [[*now, *new]]):
            says = f"let extras come from {', '.join(new)} too"
            yield easing(relaxed, _CATEGORIES, categories, says)


@dataclass(frozen=True)
class MostExtras(Demand):
    """That there are so many extras at most."""

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief that lets extras be of any number."""
        return relaxed.with_value(_MOST, None)

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield the fewest extras that there have to be."""
        most = range(relaxed.value(*_MOST) + 1, len(_wanted_categories(relaxed)) + 1)
        found = least_change(relaxed, _MOST, most)
        if found is not None:
            yield easing(relaxed, _MOST, found, f"let there be {found} extras")


def _wanted_categories(relaxed: RelaxedBrief) -> list[str]:
    """Return the categories of extras that are kept, or that a rule may ask for."""
    row, brief = relaxed.catalogue.row, relaxed.now
    wanted = {row(sku)["category"] for sku in relaxed.value("choose", "keep")}
    asking = [limit.where for limit in brief.limits if limit.least]
    asking += [pair.with_ for pair in brief.pairs if pair.with_ is not None]
    for where in asking:
        wanted |= set(relaxed.catalogue.rows if where.category is None else where.category)
    return sorted(wanted - set(brief.holds))


def _demands(brief: Brief, catalogue: Catalogue) -> Iterator[Demand]:
    """Yield demands on extras where one is kept, or a rule may ask for one.

    Else extras never stand in the way.
    """
    extras = brief.extras
    kept = {catalogue.row(sku)["category"] for sku in brief.choose.keep}
    if kept <= set(brief.holds) and not brief.may_need_extras:
        return
    if extras.spend == "none":
        yield NoExtras("extras.spend", "no extras are wanted")
    if extras.categories is not None:
        named = ", ".join(extras.categories) or "nothing"
        says = f"extras are to come from {named} only"
        yield ExtraCategories("extras.categories", says)
    if extras.most is not None:
        many = "one extra is" if extras.most == 1 else f"{extras.most} extras are"
        yield MostExtras("extras.most", f"no more than {many} wanted")


def _bars(sku: str, brief: Brief, catalogue: Catalogue) -> Iterator[str]:
    category, extras = catalogue.row(sku)["category"], brief.extras
    if category in brief.holds:
        return
    if extras.spend == "none":
        yield "The brief wants no extras."
    elif extras.categories is not None and category not in extras.categories:
        yield f"Extras are to come from {', '.join(extras.categories) or 'nothing'} only."
    elif extras.categories is None and category in NEVER_UNASKED:
        yield f"A {category} is an extra only where extras.categories names it."


EXPLANATION = RuleExplanation(
    rule.Extras,
    eases=("extras.spend", "extras.categories", "extras.most"),
    demands=_demands,
    bars=_bars,
)
