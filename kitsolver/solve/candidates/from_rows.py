"""From the rows of a shelf, and from what is at home, to offers."""

from __future__ import annotations

from fractions import Fraction
from math import ceil
from typing import Any

import numpy as np

from kitsolver.brief.at_home import HomeChart, HomeFabric, HomeHoop, HomeNeedle
from kitsolver.brief.brief import Brief
from kitsolver.craft.cutting import Roll
from kitsolver.craft.fit import Size, effective_count
from kitsolver.craft.lengths import CM
from kitsolver.craft.thread import USUAL_SKEIN
from kitsolver.shop.catalogue import RATE_UNIT, UNLIMITED, UNSAID, Catalogue
from kitsolver.shop.charted import charted
from kitsolver.shop.money import held_per_minor
from kitsolver.solve import rules
from kitsolver.solve.candidates.candidate import Candidate, Chart, Fabric, Hoop, Needle, Thread
from kitsolver.solve.candidates.conditions import Mask, carrying, meeting
from kitsolver.solve.candidates.dominance import Table, among, worth_entering
from kitsolver.solve.candidates.scoring import scored
from kitsolver.solve.rules import Rule

# For each rule the skus it bars.
Barred = dict[Rule, frozenset[str]]


def enter(
    catalogue: Catalogue,
    brief: Brief,
    category: str,
    *,
    need: bool,
    elastic: bool = False,
    thin: bool = False,
) -> tuple[tuple[Candidate, ...], Barred]:
    """Return the offers of a category, sorted by sku, and what is barred by which rule.

    Parameters
    ----------
    need : bool
        Whether the category is a need, which heads may share.
    elastic : bool
        Whether the units depend on other choices; one unit is then the least.
    thin : bool
        Whether to leave out rows that can be in no best kit; they are not barred.
    """
    shelf = catalogue.shelves.get(category)
    if shelf is None:
        return (), {}
    table: Table = dict(catalogue.arrays[category])
    choose, skus = brief.choose, table["sku"]
    shared = brief.need(category).shared_by if need else 1
    owned = among(skus, choose.own)
    # A fabric that is no need is cut for nobody: every head gets a piece.
    serves = np.ones_like(table["serves"]) if category == "fabric" else table["serves"] * shared
    units = np.ones_like(serves) if elastic else -(-brief.kits // serves)
    if category == "fabric":
        # A unit off the roll is a step, and the price that of 10 cm.
        rolls = table["sold_by"] == 1
        units = np.where(rolls, units * -(-table["smallest_cm"] // table["step_cm"]), units)
        of_step = table["price"] * table["step_cm"] // (10 * CM)
        table["price"] = np.where(rolls, of_step, table["price"])
        of_step = np.maximum(0, table["trade_cost"]) * table["step_cm"] // (10 * CM)
        said = rolls & (table["trade_cost"] != UNSAID)
        table["trade_cost"] = np.where(said, of_step, table["trade_cost"])
    # Rows that state the till's rate are taxed with those that state none.
    till_rate = brief.register.tax_rate * RATE_UNIT
    if till_rate.denominator == 1:
        of_till = table["tax_rate"] == till_rate.numerator
        table["tax_rate"] = np.where(of_till, UNSAID, table["tax_rate"])
    stock = np.where(owned | (table["download"] > 0), UNLIMITED, table["stock"])
    margined = brief.most_trade_cost is not None
    # Of what is owned it is of no interest what it would cost the shop.
    costed = owned | (table["trade_cost"] != UNSAID)
    tests: list[tuple[Rule, Mask]] = [
        (rules.LEAVE_OUT, ~among(skus, choose.leave_out)),
        (rules.CONDITIONS, meeting(shelf, catalogue.text, brief.conditions(category))),
        (rules.CONDITIONS, carrying(shelf, catalogue.text, brief.all)),
        (rules.STOCK, units <= stock),
        (rules.MARGIN, costed if margined else np.ones_like(costed)),
    ]
    good = np.ones(len(shelf), dtype=bool)
    barred: Barred = {}
    for rule, holds in tests:
        barred[rule] = barred.get(rule, frozenset()) | frozenset(skus[good & ~holds])
        good &= holds
    scale = held_per_minor(brief.currency)
    if need and brief.need(category).score:
        table["quality"] = scored(shelf, catalogue.text, brief.need(category))
    table |= {"price": np.where(owned, 0, table["price"] // scale), "stock": stock, "units": units}
    trade = table["trade_cost"] // scale
    table["trade_cost"] = np.where(owned | (not margined), 0, trade)
    table = _only(table, good)
    if thin:
        tied = need or category != "fabric"
        counted = _counted(category, brief, need)
        table = _only(table, worth_entering(category, table, brief, tied=tied, counted=counted))
    cells = zip(*(values.tolist() for values in table.values()), strict=True)
    rows = (dict(zip(table, row, strict=True)) for row in cells)
    return tuple(_offer(category, row, brief) for row in rows), barred


def _only(table: Table, rows: Mask) -> Table:
    return {name: values[rows] for name, values in table.items()}


def _counted(category: str, brief: Brief, need: bool) -> bool:
    """Tell whether the quality of a category's rows counts for anything."""
    if need:
        return brief.need(category).weight > 0
    return brief.extras.spend != "together" or brief.extras.weight > 0


def _offer(category: str, row: dict[Any, Any], brief: Brief) -> Candidate:
    common: dict[str, Any] = {
        "sku": row["sku"],
        "category": category,
        "price": row["price"],
        "points": row["quality"],
        "stock": row["stock"],
        "units": row["units"],
        "trade": row["trade_cost"],
        "tax": None if row["tax_rate"] == UNSAID else Fraction(row["tax_rate"], RATE_UNIT),
        "download": bool(row["download"]),
        "opening": _opening(row),
    }
    if category == "chart":
        shades = charted(row["colours"], row["colour_kinds"], row["colour_strands"])
        return Chart(**common, size=(row["stitches_wide"], row["stitches_high"]), shades=shades)
    if category == "fabric":
        count = effective_count(row["weave"], Fraction(row["count"], 10_000), brief.fit.over)
        roll = _roll(row) if row["sold_by"] else None
        size = None if roll else Size(Fraction(row["width"]), Fraction(row["height"]))
        return Fabric(**common, count=count, size=size, colour=row["colours"], roll=roll)
    if category == "thread":
        colours = tuple(row["colours"].split(";"))
        return Thread(
            **common,
            colours=colours,
            skein_length=row["skein_length"],
            plies=row["strands"],
            kind=row["kind"],
        )
    if category == "needle":
        return Needle(**common, sizes=frozenset(map(int, row["needle_sizes"].split(";"))))
    if category == "hoop":
        return Hoop(**common, diameter=Fraction(row["diameter"]))
    return Candidate(**common)


def _roll(row: dict[Any, Any]) -> Roll:
    step = Fraction(row["step_cm"])
    return Roll(Fraction(row["width"]), step, ceil(row["smallest_cm"] / step))


def _opening(row: dict[Any, Any]) -> Size | None:
    said = row["opening_cm"] or row["opening_in"]
    return Size(*map(Fraction, said.split(";"))) if said else None


def at_home(category: str, have: Any, brief: Brief) -> Candidate:
    """Return what is at home as an offer; what the brief does not describe stays unknown."""
    common: dict[str, Any] = {"sku": "", "category": category}
    match have:
        case HomeChart():
            wide, high = have.stitches_wide, have.stitches_high
            size = (wide, high) if wide is not None and high is not None else None
            return Chart(**common, size=size, shades=have.shades)
        case HomeFabric():
            known = have.weave is not None and have.count is not None
            count = (
                effective_count(str(have.weave), Fraction(have.count or 0), brief.fit.over)
                if known
                else None
            )
            return Fabric(**common, count=count, size=have.size, colour=have.colours or "")
        case HomeNeedle():
            return Needle(**common, sizes=frozenset(have.needle_sizes))
        case HomeHoop():
            return Hoop(**common, diameter=have.diameter)
        case tuple():
            return Thread(**common, points=100_00, colours=have, skein_length=USUAL_SKEIN)
    unknown = {"chart": Chart, "fabric": Fabric, "needle": Needle, "hoop": Hoop}
    candidate: Candidate = unknown.get(category, Candidate)(**common)
    return candidate
