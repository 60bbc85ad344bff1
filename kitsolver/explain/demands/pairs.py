"""Pairs: where the kit holds some rows, it holds others, none of them, or only such as will do."""

from __future__ import annotations

from collections.abc import Iterator

from kitsolver.brief.brief import Brief
from kitsolver.brief.own_rules import Pair, Where
from kitsolver.explain.demands.demand import Demand
from kitsolver.explain.demands.explanation import RuleExplanation
from kitsolver.explain.demands.own_rule import OwnRule, where_text
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.rules import pairs as rule


def _demands(brief: Brief, _: Catalogue) -> Iterator[Demand]:
    for pair in brief.pairs:
        says = f'the rule "{pair.name}" asks for {_asked(pair)}'
        yield OwnRule(f"pairs: {pair.name}", says, "pairs", pair.name)


def _asked(pair: Pair) -> str:
    side, where = pair.asks
    beside = "" if pair.if_ is None else f" beside {where_text(pair.if_)}"
    if side == "with":
        return f"{where_text(where)}{beside}"
    if side == "never":
        return f"no {where_text(where, article=False)}{beside}"
    every = where_text(Where(category=where.category), article=False)
    return f"every {every}{beside} to be {where_text(where)}"


EXPLANATION = RuleExplanation(rule.Pairs, eases=("pairs",), demands=_demands)
