"""Alike: rows have one value of a column in common."""

from __future__ import annotations

from collections.abc import Iterator

from kitsolver.brief.brief import Brief
from kitsolver.brief.validate_rules import shelf_of
from kitsolver.explain.demands.demand import Demand
from kitsolver.explain.demands.explanation import RuleExplanation
from kitsolver.explain.demands.own_rule import OwnRule
from kitsolver.explain.wording import listed
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.rules import alike as rule


def _demands(brief: Brief, _: Catalogue) -> Iterator[Demand]:
    for one in brief.alike:
        rows = "all rows" if one.of is None else listed(one.of)
        says = f'the rule "{one.name}" asks for one {one.column} of {rows}'
        yield OwnRule(f"alike: {one.name}", says, "alike", one.name)


def _bars(sku: str, brief: Brief, catalogue: Catalogue) -> Iterator[str]:
    category = catalogue.row(sku)["category"]
    shelf = shelf_of(category, brief, catalogue)
    if shelf is None:
        return
    for one in brief.alike:
        meant = one.blank == "refuse" and (one.of is None or category in one.of)
        if meant and not shelf.only(sku).values(one.column)[0]:
            yield f'It says no {one.column}, which the rule "{one.name}" asks for.'


EXPLANATION = RuleExplanation(rule.AlikeRows, eases=("alike",), demands=_demands, bars=_bars)
