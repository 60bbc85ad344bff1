"""From the rows of a shelf, and from what is at home, to candidates."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from itertools import repeat
from math import ceil
from typing import Any

import numpy as np

from kitsolver.brief.at_home import HomeChart, HomeFabric, HomeHoop, HomeNeedle
from kitsolver.brief.brief import Brief
from kitsolver.craft.cutting import Roll
from kitsolver.craft.fit import Size, effective_count
from kitsolver.craft.lengths import CM
from kitsolver.craft.thread import USUAL_SKEIN
from kitsolver.shop.catalogue import NOT_GIVEN, RATE_UNIT, UNLIMITED, Catalogue
from kitsolver.shop.charted import charted
from kitsolver.shop.money import held_per_minor
from kitsolver.solve.candidates.candidate import Candidate, Chart, Fabric, Hoop, Needle, Thread
from kitsolver.solve.presolve.dominance import undominated
from kitsolver.solve.presolve.scoring import scored
from kitsolver.solve.rules import RULES
from kitsolver.solve.rules.rule import Mask, Rows, Table, among


def candidates_of(
    catalogue: Catalogue,
    brief: Brief,
    category: str,
    *,
    need: bool,
    elastic: bool = False,
    thin: bool = False,
    kept_alone: bool = False,
) -> tuple[Candidate, ...]:
    """Return the candidates of a category, sorted by sku.

    Parameters
    ----------
    need : bool
        Whether the category is a need, which heads may share.
    elastic : bool
        Whether the units depend on other choices; one unit is then the least.
    thin : bool
        Whether to leave out rows that others dominate.
    kept_alone : bool
        Whether rows that the brief keeps leave out all others.
    """
    found = admitted_rows(
        catalogue, brief, category, need=need, elastic=elastic, thin=thin, kept_alone=kept_alone
    )
    return () if found is None else found.candidates()


class AdmittedRows:
    """The rows of a category that may enter a kit, as arrays, and as candidates once asked for.

    Parameters
    ----------
    rows : Rows
        Sorted by sku.
    """

    def __init__(self, rows: Rows) -> None:
        self._rows = rows
        self._made: dict[int, Candidate] = {}
        columns = {column for rule in RULES for column in rule.columns(rows.brief)}
        self._measures = sorted(column for column in columns if column in rows.table)

    @property
    def table(self) -> Table:
        """Their columns, with the units that the kit takes of each and their prices."""
        return self._rows.table

    def candidates(self, wanted: Mask | None = None) -> tuple[Candidate, ...]:
        """Return the candidates of some of the rows, or of all; each is made once."""
        places = np.arange(len(self._rows)) if wanted is None else np.flatnonzero(wanted)
        new = np.array([place for place in places.tolist() if place not in self._made], dtype=int)
        cells = {name: values[new].tolist() for name, values in self._rows.table.items()}
        made = _made(self._rows.category, cells, self._rows.brief, self._measures)
        self._made.update(zip(new.tolist(), made, strict=True))
        return tuple([self._made[place] for place in places.tolist()])


def admitted_rows(
    catalogue: Catalogue,
    brief: Brief,
    category: str,
    *,
    need: bool,
    elastic: bool = False,
    thin: bool = False,
    kept_alone: bool = False,
) -> AdmittedRows | None:
    """Return the rows that `candidates_of` makes candidates of; None if there is no such shelf."""
    shelf = catalogue.rows.get(category)
    if shelf is None:
        return None
    table: Table = dict(shelf.columns)
    owned = among(table["sku"], brief.choose.own)
    table |= _at_home(table, category, catalogue)
    table |= _quantities(table, category, brief, owned, need=need, elastic=elastic)
    table |= _sums(table, brief, owned)
    rows = Rows(category, table, shelf, catalogue.cells, brief, need, owned)
    if need and brief.need(category).score:
        table["quality"] = scored(rows.as_written, brief.need(category))
    for rule in RULES:
        table |= rule.reads(rows)
    admitted = np.ones(len(rows), dtype=bool)
    for rule in RULES:
        mask = rule.admits(rows)
        if mask is not None:
            admitted &= mask
    kept = among(table["sku"], brief.choose.keep) & admitted
    rows = rows.where(kept if kept_alone and kept.any() else admitted)
    if thin:
        rows = rows.where(undominated(rows, counted=_counted(category, brief, need)))
    return AdmittedRows(rows)


def _at_home(table: Table, category: str, catalogue: Catalogue) -> Table:
    """Return what the home list has of each row: units, or of single thread a length.

    Goods that are only at home are neither downloaded nor taxed, for they are not bought.
    """
    none = np.zeros_like(table["stock"])
    found: Table = {"at_home": none, "home_length": none, "only_at_home": none}
    if catalogue.home is None:
        return found
    places, listed = catalogue.home.of(table["sku"])
    found = {name: values.copy() for name, values in found.items()}
    found["at_home"][places] = [row.units for row in listed]
    found["only_at_home"][places] = [row.only_here for row in listed]
    if category == "thread":
        found["home_length"][places] = [row.length or 0 for row in listed]
        found["home_length"] *= table["strands"]
    bought = found["only_at_home"] == 0
    return found | {
        "download": np.where(bought, table["download"], 0),
        "tax_rate": np.where(bought, table["tax_rate"], NOT_GIVEN),
    }


def _quantities(
    table: Table, category: str, brief: Brief, owned: Mask, *, need: bool, elastic: bool
) -> Table:
    """Return the units that the kit takes of each row, and the stock that the buyer sees.

    Of fabric off the roll a unit is a step, and so prices, given for 10 cm, are turned into prices
    of a step.
    """
    shared = brief.need(category).shared_by if need else 1
    # A fabric that is no need is cut for nobody: every head gets a piece.
    serves = np.ones_like(table["serves"]) if category == "fabric" else table["serves"] * shared
    stock = np.where(owned | (table["download"] > 0), UNLIMITED, table["stock"])
    unbought = table["only_at_home"] > 0
    if brief.most_trade_cost is not None:
        # What a unit costs the shop has to be known of what is bought only.
        unbought |= ~owned & (table["trade_cost"] == NOT_GIVEN)
    found: Table = {
        "units": np.ones_like(serves) if elastic else -(-brief.kits // serves),
        "stock": np.where(unbought, 0, stock),
    }
    if category == "thread":
        skeins = np.minimum(found["units"], table["home_length"] // table["skein_length"])
        least = np.where(table["home_length"] > 0, 0, 1)
        found["units"] = least if elastic else found["units"] - skeins
        found["home_taken"] = skeins * table["skein_length"]
    if category == "fabric":
        rolls = table["sold_by"] == 1
        smallest = -(-table["smallest_cm"] // table["step_cm"])
        found["units"] = np.where(rolls, found["units"] * smallest, found["units"])
        of_step = table["price"] * table["step_cm"] // (10 * CM)
        found["price"] = np.where(rolls, of_step, table["price"])
        of_step = np.maximum(0, table["trade_cost"]) * table["step_cm"] // (10 * CM)
        said = rolls & (table["trade_cost"] != NOT_GIVEN)
        found["trade_cost"] = np.where(said, of_step, table["trade_cost"])
    return found


def _sums(table: Table, brief: Brief, owned: Mask) -> Table:
    """Return prices and trade costs in minor units, and the tax rates of rows.

    What the buyer owns costs nothing. Rows that state the till's own rate are taxed with those
    that state none.
    """
    scale = held_per_minor(brief.currency)
    free = owned if brief.most_trade_cost is not None else np.ones_like(owned)
    till_rate = brief.exact_till.tax_rate * RATE_UNIT
    of_till = (table["tax_rate"] * till_rate.denominator) == till_rate.numerator
    return {
        "tax_rate": np.where(of_till, NOT_GIVEN, table["tax_rate"]),
        "price": np.where(owned, 0, table["price"] // scale),
        "trade_cost": np.where(free, 0, table["trade_cost"] // scale),
    }


def _counted(category: str, brief: Brief, need: bool) -> bool:
    """Tell whether the quality of a category's rows counts for anything."""
    if need:
        return brief.need(category).weight > 0
    return not brief.extras.together or brief.extras.weight > 0


def _made(
    category: str, cells: Mapping[str, list[Any]], brief: Brief, measures: list[str]
) -> Iterator[Candidate]:
    """Yield the candidates of rows, made column by column: a large shop has very many.

    The columns are in the order of the fields of `Candidate`, and then of those of its kind.
    """
    every = range(len(cells["sku"]))
    common: list[Iterable[Any]] = [
        cells["sku"],
        repeat(category, len(every)),
        cells["price"],
        cells["quality"],
        cells["stock"],
        cells["units"],
        cells["at_home"],
        [None if rate == NOT_GIVEN else Fraction(rate, RATE_UNIT) for rate in cells["tax_rate"]],
        map(bool, cells["download"]),
        map(_opening, cells["opening_cm"], cells["opening_in"]),
        [tuple([(column, cells[column][row]) for column in measures]) for row in every],
    ]
    kind, own = _own_fields(category, cells, brief)
    return map(kind, *common, *own)


def _own_fields(
    category: str, cells: Mapping[str, list[Any]], brief: Brief
) -> tuple[type[Candidate], list[Iterable[Any]]]:
    """Return the kind of candidate that rows of a category are, and its own fields by column."""
    if category == "chart":
        sizes = zip(cells["stitches_wide"], cells["stitches_high"], strict=True)
        asked = map(charted, cells["colours"], cells["colour_kinds"], cells["colour_strands"])
        return Chart, [sizes, asked]
    if category == "fabric":
        widths, by_length = map(Fraction, cells["width"]), cells["sold_by"]
        each = zip(
            widths, cells["height"], by_length, cells["step_cm"], cells["smallest_cm"], strict=True
        )
        rolls: list[Roll | None] = []
        sizes_known: list[Size | None] = []
        for width, height, is_roll, step, smallest in each:
            rolls.append(_roll(width, step, smallest) if is_roll else None)
            sizes_known.append(None if is_roll else Size(width, Fraction(height)))
        counts = (
            effective_count(weave, Fraction(count, 10_000), brief.fit.over)
            for weave, count in zip(cells["weave"], cells["count"], strict=True)
        )
        return Fabric, [counts, sizes_known, cells["colours"], rolls]
    if category == "thread":
        colours = (tuple(said.split(";")) for said in cells["colours"])
        names = ("skein_length", "strands", "kind", "home_length", "home_taken")
        return Thread, [colours, *(cells[name] for name in names)]
    if category == "needle":
        return Needle, [(frozenset(map(int, s.split(";"))) for s in cells["needle_sizes"])]
    if category == "hoop":
        return Hoop, [map(Fraction, cells["diameter"])]
    return Candidate, []


def _roll(width: Fraction, step_cm: int, smallest_cm: int) -> Roll:
    step = Fraction(step_cm)
    return Roll(width, step, ceil(smallest_cm / step))


def _opening(in_cm: str, in_inches: str) -> Size | None:
    said = in_cm or in_inches
    return Size(*map(Fraction, said.split(";"))) if said else None


def _described(have: Any) -> dict[str, str] | None:
    """Return what is said of a thing at home by column; None for shades, which are no rows."""
    match have:
        case None | tuple():
            return None
        case bool():
            return {}
    given = have.model_dump(mode="json", exclude_none=True)
    return {
        column: ";".join(map(str, said)) if isinstance(said, list) else str(said)
        for column, said in given.items()
    }


def at_home(category: str, have: Any, brief: Brief) -> Candidate:
    """Return what is at home as a candidate; what the brief does not describe stays unknown."""
    said = {
        column: value
        for rule in RULES
        for column, value in rule.reads_at_home(category, _described(have), brief).items()
    }
    common: dict[str, Any] = {
        "sku": "",
        "category": category,
        "measures": tuple(sorted(said.items())),
    }
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
