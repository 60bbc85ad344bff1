"""Stock: no more units are taken than there are on the shelf."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import NamedTuple

from kitsolver.brief.brief import Brief
from kitsolver.explain.demands.at_home import shades_at_home
from kitsolver.explain.demands.demand import Demand, Easing, easing
from kitsolver.explain.demands.explanation import Conflict, Obstacle, RuleExplanation
from kitsolver.explain.demands.heads import fewer_heads, fewer_spare, kits_of, sharing
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.explain.wording import listed, row_text
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.home_list import HomeRow, decimal_metres
from kitsolver.solve.candidates.quantities import pools
from kitsolver.solve.outcome import Kit, Line
from kitsolver.solve.rules import stock as rule

# Of so many rows that lack stock it is asked whether another row would do.
_MOST_ROWS = 8


@dataclass(frozen=True)
class InStock(Demand):
    """That goods are in stock for all kits."""

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief for which every row is in stock."""
        return replace(relaxed, stocked=True)

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield fewer kits, rows that heads share, and what could be at home."""
        yield from fewer_spare(relaxed)
        yield from fewer_heads(relaxed)
        yield from sharing(relaxed)
        yield from _at_home(relaxed)


def _at_home(relaxed: RelaxedBrief) -> Iterator[Easing]:
    """Yield that what one need lacks is at home, if there is a kit then."""
    if _short_keeps(relaxed):
        # What is kept is not bought where its need is at home.
        return
    kit, lines = lacking(relaxed)
    categories = {line.category for line in lines}
    if kit is None or len(categories) != 1:
        return
    (need,) = categories
    path = ("needs", need, "have")
    if need not in relaxed.brief.holds or relaxed.value(*path) is True:
        return
    if need == "thread" and kit.shades:
        skus = {line.sku for line in lines}
        colours = [shade.thread_colour for shade in kit.shades if shade.sku in skus]
        # Nothing that was asked gives way; but who teaches a class has no such store of thread.
        yield from shades_at_home(relaxed, colours, pain=0.0 if relaxed.brief.kits == 1 else 1.0)
    elif relaxed.works_with(path, True):
        yield easing(relaxed, path, True, f"have the {need} at home")


class Lacking(NamedTuple):
    """A kit that could be made with more stock, and its lines of which there is too little."""

    kit: Kit | None
    lines: list[Line]


def lacking(relaxed: RelaxedBrief) -> Lacking:
    """Return the cheapest kit that lacks stock of few rows; all that is left out must be lacking.

    None if there is no kit, whatever is in stock.
    """
    short = relaxed
    kit = replace(relaxed, stocked=True).cheapest_kit
    lines = _short_lines(kit, relaxed)
    # Where another row is in stock and would do, the first is no reason.
    skus = {line.sku for line in lines}
    for sku in sorted(skus) if 1 < len(skus) <= _MOST_ROWS else ():
        fewer = replace(relaxed, oracle=relaxed.oracle.restocked(skus - {sku}))
        if fewer.possible:
            skus.remove(sku)
            short = fewer
    if short is not relaxed:
        kit = short.cheapest_kit
        lines = _short_lines(kit, relaxed)
    return Lacking(kit, lines)


def _short_lines(kit: Kit | None, relaxed: RelaxedBrief) -> list[Line]:
    own = relaxed.brief.choose.own
    return [
        line
        for line in (kit.lines if kit else ())
        if line.sku not in own and line.bought > in_stock(line.sku, relaxed.catalogue)
    ]


def in_stock(sku: str, catalogue: Catalogue) -> int:
    """Return the units of a row on the shelf; none of what is only at home."""
    if (at_home := catalogue.at_home(sku)) is not None and at_home.only_here:
        return 0
    return int(catalogue.goods(sku)["stock"])


def _shared(sku: str, catalogue: Catalogue) -> int | None:
    """Return the units on the shelf that several copies of a kit share; None for a single kit."""
    goods = catalogue.goods(sku)
    return int(goods["shared_stock"]) if "shared_stock" in goods else None


def _demands(brief: Brief, _: Catalogue) -> Iterator[Demand]:
    heads = "one head" if brief.heads == 1 else f"{brief.heads} heads"
    spare = "" if not brief.spare else f" and {kits_of(brief.spare)} to spare"
    whom = f" for {heads}{spare}" if brief.kits > 1 else ""
    yield InStock("heads", f"goods are to be in stock{whom}")


def _obstacles(conflict: Conflict) -> Iterator[Obstacle]:
    """Tell of the rows that lack stock."""
    if not conflict.has(InStock):
        return
    relaxed = conflict.whole
    # Of a kept row that is short in every kit, that is told without a search for kits.
    short = _short_keeps(relaxed)
    for sku, there in short.items():
        yield Obstacle(f"{row_text(sku, relaxed.catalogue)} has {there}")
    if short:
        return
    whole = lacking(relaxed)
    kit, lines = whole if whole.lines else lacking(conflict.alone)
    for line in lines if kit else ():
        yield Obstacle(_short(line, kit, relaxed))


def _short(line: Line, kit: Kit | None, relaxed: RelaxedBrief) -> str:
    """Return how much of a row is needed, and how much is left."""
    brief, row = relaxed.brief, row_text(line.sku, relaxed.catalogue)
    left, shared = in_stock(line.sku, relaxed.catalogue), _shared(line.sku, relaxed.catalogue)
    if shared is not None:
        share = f"{left} for each copy" if left else "not one for each copy"
        return f"{row} has {shared} in stock, which is {share}, and a copy takes {line.units}"
    are = "is" if line.units == 1 else "are"
    if (at_home := relaxed.catalogue.at_home(line.sku)) is not None:
        return f"{row} {_with_home(line, at_home, left)}"
    matched = [s.chart_colour for s in kit.shades if s.sku == line.sku] if kit else []
    if matched and not left:
        return f"{row} would match {listed(matched)}, and 0 are left"
    if matched:
        needed = f"{line.units} of it are needed"
        return f"{row} would match {listed(matched)}, but {needed}, and {left} {_are(left)} left"
    if line.category == "fabric" and kit and kit.fit.rolled:
        return f"{row} has {left} steps left on the roll, where {line.units} {are} needed"
    if line.category == "fabric" and kit and kit.fit.pieces and brief.kits > 1:
        pieces = "one piece" if kit.fit.pieces == 1 else f"{kit.fit.pieces} pieces"
        return (
            f"{row} yields {pieces} a unit, so that {brief.kits} kits take {line.units} units, "
            f"and {left} {_are(left)} left"
        )
    return f"{row} has {left} in stock, where {line.units} {are} needed"


def _with_home(line: Line, at_home: HomeRow, left: int) -> str:
    """Return how much of a row of the home list is lacking."""
    shop = "" if at_home.only_here else f" and {left} in stock"
    if at_home.length is not None:
        more = "one more skein" if line.units == 1 else f"{line.units} more skeins"
        metres = f"{decimal_metres(at_home.length):f}"
        return f"has {metres} m at home{shop}, where {more} would be needed"
    are = "is" if line.units == 1 else "are"
    return f"has {at_home.units} at home{shop}, where {line.units} {are} needed"


def _are(number: int) -> str:
    return "is" if number == 1 else "are"


def _bars(sku: str, brief: Brief, catalogue: Catalogue) -> Iterator[str]:
    """Tell of units that are short in every kit."""
    there = _there(sku, brief, catalogue)
    if there is not None:
        yield f"It has {there}."


def _short_keeps(relaxed: RelaxedBrief) -> dict[str, str]:
    """Return the kept skus of which every kit takes more than there is, with how much there is."""
    each = ((sku, _there(sku, relaxed.now, relaxed.catalogue)) for sku in relaxed.barred_keeps)
    return {sku: there for sku, there in each if there is not None}


def _there(sku: str, brief: Brief, catalogue: Catalogue) -> str | None:
    """Return how much there is of a row that is short in every kit; None if it may be enough."""
    own, needed = catalogue.goods(sku), _least_units(sku, brief, catalogue)
    stock, at_home = int(own["stock"]), catalogue.at_home(sku)
    if at_home is not None:
        # A part-used skein may do; how much is needed hangs on the chart.
        if at_home.length is not None:
            return None
        there = at_home.units
        if there + (0 if at_home.only_here else stock) < needed:
            shop = "" if at_home.only_here else f" and {stock} in stock"
            return f"{there} at home{shop}, and {needed} would be needed"
        return None
    if stock < needed and not own["download"] and sku not in brief.choose.own:
        return f"{stock} in stock, and {needed} would be needed"
    return None


def _least_units(sku: str, brief: Brief, catalogue: Catalogue) -> int:
    """Return the least units that a kit takes of a row, whatever else it holds."""
    category = catalogue.row(sku)["category"]
    held = category in brief.holds
    if category == "fabric":
        return 1
    if category == "thread" and held:
        return pools(brief)[0] if brief.buys("chart") else 1
    shared = brief.need(category).shared_by if held else 1
    return -(-brief.kits // (int(catalogue.goods(sku)["serves"]) * shared))


EXPLANATION = RuleExplanation(
    rule.Stock,
    eases=("heads", "spare", "needs.*.shared_by", "needs.*.have"),
    demands=_demands,
    obstacles=_obstacles,
    bars=_bars,
)
