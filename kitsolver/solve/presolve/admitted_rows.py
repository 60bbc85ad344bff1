"""The rows of a category that may enter a kit, as arrays."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from kitsolver.brief.brief import Brief
from kitsolver.craft.lengths import CM
from kitsolver.shop.catalogue import NOT_GIVEN, RATE_UNIT, UNLIMITED, Catalogue
from kitsolver.shop.money import held_per_minor
from kitsolver.solve.candidates.candidate import Candidate
from kitsolver.solve.presolve.dominance import undominated
from kitsolver.solve.presolve.from_rows import candidates_made
from kitsolver.solve.presolve.scoring import scored
from kitsolver.solve.rules import RULES
from kitsolver.solve.rules.rule import Mask, Rows, Table, among

# What costs so much is not to be had, as thread of a colour that no row has.
NEVER = 2**60


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
        self._colours: dict[int, list[str]] = {}
        columns = {column for rule in RULES for column in rule.columns(rows.brief)}
        self._measures = sorted(column for column in columns if column in rows.table)

    def __len__(self) -> int:
        return len(self._rows)

    @property
    def table(self) -> Table:
        """Their columns, with the units that the kit takes of each and their prices."""
        return self._rows.table

    @property
    def colours(self) -> list[list[str]]:
        """The colours of each chart, or row of thread, in its order."""
        return self.colours_of(range(len(self)))

    def colours_of(self, places: Sequence[int]) -> list[list[str]]:
        """Return the colours of the charts, or rows of thread, at some places, each read once."""
        new = [place for place in places if place not in self._colours]
        for place, cell in zip(new, self._rows.table["colours"][new].tolist(), strict=True):
            self._colours[place] = [entry.partition(":")[0] for entry in cell.split(";")]
        return [self._colours[place] for place in places]

    @cached_property
    def colour_counts(self) -> NDArray[np.int64]:
        """How many colours each chart, or row of thread, has."""
        return self._rows.shelf.colour_counts[self.shelf_places]

    @cached_property
    def shelf_shares(self) -> NDArray[np.int64]:
        """What a colour of each row of thread costs at least, for the whole shelf.

        The colours of a pack share its cost. `NEVER` of rows that may not enter a kit.
        """
        shares: NDArray[np.int64] = np.full(len(self._rows.shelf), NEVER)
        costs = self.table["price"] * self.table["units"]
        shares[self.shelf_places] = costs // self.colour_counts
        return shares

    @property
    def shelf_places(self) -> NDArray[np.int64]:
        """The places of these rows on the shelf."""
        places = self._rows.places
        return np.arange(len(self._rows.shelf)) if places is None else places

    def candidates(self, wanted: Mask | None = None) -> tuple[Candidate, ...]:
        """Return the candidates of some of the rows, or of all; each is made once."""
        places = np.arange(len(self._rows)) if wanted is None else np.flatnonzero(wanted)
        new = np.array([place for place in places.tolist() if place not in self._made], dtype=int)
        cells = {name: values[new].tolist() for name, values in self._rows.table.items()}
        made = candidates_made(self._rows.category, cells, self._rows.brief, self._measures)
        self._made.update(zip(new.tolist(), made, strict=True))
        return tuple([self._made[place] for place in places.tolist()])


def admitted_rows(
    catalogue: Catalogue,
    brief: Brief,
    category: str,
    *,
    need: bool,
    least_units: int | None = None,
    thin: bool = False,
    kept_alone: bool = False,
) -> AdmittedRows | None:
    """Return the rows of a category that may enter a kit; None if there is no such category.

    Parameters
    ----------
    need : bool
        Whether the category is a need, which heads may share.
    least_units : int, optional
        The least units that a kit takes of any row, where they depend on other choices.
    thin : bool
        Whether to leave out rows that others dominate.
    kept_alone : bool
        Whether rows that the brief keeps leave out all others.
    """
    shelf = catalogue.rows.get(category)
    if shelf is None:
        return None
    table: Table = dict(shelf.columns)
    owned = among(table["sku"], brief.choose.own)
    table |= _at_home(table, category, catalogue)
    table |= _quantities(table, category, brief, owned, need=need, least_units=least_units)
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
    table: Table,
    category: str,
    brief: Brief,
    owned: Mask,
    *,
    need: bool,
    least_units: int | None,
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
        "units": -(-brief.kits // serves)
        if least_units is None
        else np.full_like(serves, least_units),
        "stock": np.where(unbought, 0, stock),
    }
    if category == "thread":
        skeins = np.minimum(found["units"], table["home_length"] // table["skein_length"])
        if least_units is None:
            found["units"] -= skeins
        else:
            # What is at home may be enough.
            found["units"][table["home_length"] > 0] = 0
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
