"""The catalogue: what is for sale, one row a sku."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np

from kitsolver.shop.findings import Finding
from kitsolver.shop.home_list import HomeList, HomeRow
from kitsolver.shop.palette import Palette, RowColours
from kitsolver.shop.row_table import RowTable
from kitsolver.shop.showing import ShowsItself
from kitsolver.shop.skipped import RowCounts, Skipped

if TYPE_CHECKING:
    import pandas as pd

    from kitsolver.shop.maps.written import Written

# The stock of a row whose cell is blank: more than any order takes.
UNLIMITED = 2**40
# What the columns of numbers hold for a blank cell that has no default.
NOT_GIVEN = -1
# A rate is held in millionths.
RATE_UNIT = 1_000_000


@dataclass(frozen=True, eq=False)
class Catalogue(ShowsItself):
    """The usable rows of one source.

    Parameters
    ----------
    name : str
        What findings call the source: its path, or its address without the password.
    currency : str or None
        The currency the prices' decimals were checked against; None if unchecked.
    cells : RowTable
        Every usable row as written, trimmed, blank cells as ``""``: all columns of the source, in
        its order, of dtype object.
    rows : mapping of str to RowTable
        For each category its rows in whole units, sorted by sku.
        Every category: ``sku``, ``name`` (object); ``price`` (int64, in 1/10,000 of the currency's
        unit), ``quality`` (int64, hundredths), ``stock`` and ``serves`` (int64), ``trade_cost``
        (like the price; -1 where blank), ``tax_rate`` (int64, millionths; -1 where blank),
        ``download`` (int64, 1 for yes), ``opening_cm`` and ``opening_in`` (object, both sides in
        length units as ``"width;height"``, or blank).
        chart: ``stitches_wide``, ``stitches_high`` (int64), ``colours`` (object,
        ``"#rrggbb:stitches:backstitch_cm;…"``, hex in lower case, the third figure only where
        there is backstitch), ``colour_kinds`` and ``colour_strands`` (object, may be blank).
        fabric: ``weave`` (object), ``count`` (int64, 1/10,000 threads an inch), ``width`` and
        ``height`` (int64, units of `kitsolver.craft.lengths`), ``colours`` (object, may be blank),
        ``sold_by`` (int64, 1 for fabric off the roll, whose ``height`` is 0), ``smallest_cm`` and
        ``step_cm`` (int64, length units).
        thread: ``colours`` (object, ``"#rrggbb;…"``), ``skein_length`` (int64, 1/10,000 metres of
        single strand in a skein), ``strands`` (int64), ``kind`` (object).
        needle: ``needle_sizes`` (object, ``"24;26"``). hoop: ``diameter`` (int64, length units).
    findings : tuple of Finding
        Warnings, and the errors of the rows that the user asked to leave out.
    categories : frozenset of str
        Every category that a row of the source names, a refused row too.
    skipped : tuple of Skipped
        How many rows of the source are not offered, by kind and category: refused ones first,
        then those passed over. Empty where every row is offered.
    refused : mapping of str to int
        For the sku of each refused row the number of the row in the source; its findings are
        among `findings`. Of several such rows with one sku the first.
    passed_over : mapping of str to int
        Likewise for the rows that the map of columns passes over.
    home : HomeList, optional
        What the buyer has at home. Goods that are only there are rows like the others, at price 0;
        their number is that of their row in the home list, below zero.
    written : Written, optional
        The source as the shop writes it, where that is asked for.
    """

    name: str
    currency: str | None
    cells: RowTable = field(repr=False)
    rows: Mapping[str, RowTable] = field(repr=False)
    findings: tuple[Finding, ...] = ()
    categories: frozenset[str] = frozenset()
    skipped: tuple[Skipped, ...] = ()
    refused: Mapping[str, int] = field(default_factory=dict, repr=False)
    passed_over: Mapping[str, int] = field(default_factory=dict, repr=False)
    home: HomeList | None = None
    written: Written | None = field(default=None, repr=False)

    @cached_property
    def _place(self) -> dict[str, int]:
        """For each sku its place among the usable rows, from 0."""
        return {sku: place for place, sku in enumerate(self.cells["sku"].tolist())}

    @cached_property
    def text(self) -> pd.DataFrame:
        """`cells` as a data frame, indexed by the numbers of the rows."""
        return self.cells.frame

    @cached_property
    def shelves(self) -> Mapping[str, pd.DataFrame]:
        """`rows` as data frames, indexed by the numbers of the rows."""
        return {category: rows.frame for category, rows in self.rows.items()}

    def __eq__(self, other: object) -> bool:
        """Tell whether another catalogue offers the same rows, in the same order and currency.

        Neither the name of the source counts nor what is said of rows that are not offered.
        """
        if not isinstance(other, Catalogue):
            return NotImplemented
        return (
            self.currency == other.currency
            and self.home == other.home
            and list(self.cells.columns) == list(other.cells.columns)
            and all(
                np.array_equal(mine, other.cells[name]) for name, mine in self.cells.columns.items()
            )
        )

    __hash__ = None  # type: ignore[assignment] # a table of a million rows is no key

    def __contains__(self, sku: object) -> bool:
        return sku in self._place

    def __len__(self) -> int:
        return len(self.cells)

    @property
    def skus(self) -> frozenset[str]:
        """Every usable sku."""
        return frozenset(self._place)

    def row_number(self, sku: str) -> int:
        """Return the number of the row of the source that holds `sku`."""
        return int(self.cells.numbers[self._place[sku]])

    def stock_of(self, sku: str) -> int | None:
        """Return how many units are on the shelf: 0 if there is no such row, None for any number.

        What is downloaded never runs out.
        """
        if sku not in self:
            return 0
        goods = self.goods(sku)
        there = int(goods["stock"])
        return None if there >= UNLIMITED or goods["download"] else there

    def place_of(self, number: int) -> tuple[str, int]:
        """Return the source and the row that the number of a row stands for."""
        if number < 0 and self.home is not None:
            return self.home.name, -number
        return self.name, number

    def at_home(self, sku: str) -> HomeRow | None:
        """Return what is at home of `sku`; None if nothing is listed."""
        return self.home.rows.get(sku) if self.home is not None else None

    @property
    def row_counts(self) -> RowCounts:
        """How many rows are usable, and how many are skipped, as every result says."""
        # Goods that are only at home are no rows of the source.
        return RowCounts(int((self.cells.numbers >= 0).sum()), self.skipped)

    @cached_property
    def thread_colours(self) -> RowColours:
        """The colours of each row of thread in it."""
        return RowColours(self.rows["thread"]["colours"] if "thread" in self.rows else ())

    @property
    def palette(self) -> Palette:
        """The colours of all thread in it."""
        return self.thread_colours.palette

    def with_stock(
        self, rows: Mapping[str, RowTable], cells: RowTable, home: HomeList | None
    ) -> Catalogue:
        """Return a catalogue of the same goods of which there is more or less, here and at home.

        What is known of the places of rows, and of the colours of thread, stays known.
        """
        found = replace(self, rows=rows, cells=cells, home=home)
        found.__dict__["_place"] = self._place
        found.__dict__["thread_colours"] = self.thread_colours
        return found

    def row(self, sku: str) -> Mapping[str, str]:
        """Return the cells of `sku` as written, trimmed, by column.

        Raises
        ------
        KeyError
            If the catalogue has no usable row of that sku.
        """
        place = self._place[sku]
        return {column: str(cells[place]) for column, cells in self.cells.columns.items()}

    def category(self, sku: str) -> str:
        """Return the category of a row, with what `row` raises."""
        return str(self.cells.columns["category"][self._place[sku]])

    def categories_of(self, skus: Iterable[str]) -> set[str]:
        """Return the categories of some rows, with what `row` raises."""
        return set(map(self.category, skus))

    def skus_of(self, category: str, skus: Iterable[str]) -> frozenset[str]:
        """Return those of some skus that are usable rows of a category."""
        return frozenset(sku for sku in skus if sku in self and self.category(sku) == category)

    def goods(self, sku: str) -> Mapping[str, Any]:
        """Return what `rows` hold of a row, by column.

        Raises
        ------
        KeyError
            If the catalogue has no usable row of that sku.
        """
        category, number = self.category(sku), self.row_number(sku)
        rows = self.rows[category]
        place = rows.place(number)
        return {name: cells[place] for name, cells in rows.columns.items()}
