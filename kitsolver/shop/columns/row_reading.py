"""The values of a source's rows, column by column, and the shelves that they make."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from kitsolver.shop.cell_faults import Fault, Refused, shortened
from kitsolver.shop.columns import bulk
from kitsolver.shop.columns.checks import Checks, Places, Values
from kitsolver.shop.columns.column import Column
from kitsolver.shop.columns.goods_columns import JOINED
from kitsolver.shop.row_table import RowTable
from kitsolver.shop.skipped import Skipped, counted
from kitsolver.shop.sources.records import Coded


class RowReading(Checks):
    """The values of one file's records, as far as nothing refuses them."""

    def sort_by_category(self) -> dict[str, Places]:
        """Return for each category the places of its rows."""
        if "category" not in self._columns:
            return {}
        coded = self._columns["category"]
        order = np.argsort(coded.codes, kind="stable")
        bounds = np.searchsorted(coded.codes[order], np.arange(len(coded.texts) + 1))
        return {
            text: order[bounds[code] : bounds[code + 1]]
            for code, text in enumerate(coded.texts)
            if text and bounds[code] < bounds[code + 1]
        }

    def convert(self, column: Column, by_category: Mapping[str, Places]) -> Values:
        """Return the value of each distinct text of a column, where rows that use it hold it."""
        values_of = np.int64 if column.numeric else object
        if column.name not in self._columns:
            return np.empty(0, dtype=values_of)
        coded = self._columns[column.name]
        places = self._using(column, by_category)
        here = coded.codes[places]
        values = np.zeros(len(coded.texts), dtype=values_of)
        texts = coded.texts.tolist()
        faults = dict(coded.faults)
        used = np.bincount(here, minlength=len(values)) > 0
        if column.sound:
            sound = column.sound(texts)
            values[sound] = coded.texts[sound]
            used &= ~sound
        for code in np.flatnonzero(used).tolist():
            if code in faults:
                continue
            try:
                text = texts[code]
                values[code] = column.reads(text) if text else _blank(column)
            except Refused as refused:
                faults[code] = tuple(_as_written(each, coded, code) for each in refused.faults)
        self.refuse(column.name, places, here, faults)
        return values

    def shelves(
        self, by_category: Mapping[str, Places], values: Mapping[Column, Values]
    ) -> dict[str, RowTable]:
        """Return for each category its usable rows in whole units, sorted by sku."""
        skus = self._columns["sku"]
        rank = np.empty(len(skus.texts), dtype=np.int64)
        rank[sorted(range(len(rank)), key=skus.texts.tolist().__getitem__)] = np.arange(len(rank))
        shelves = {}
        for category, everyone in by_category.items():
            usable = everyone[~self._refused[everyone]]
            places = usable[np.argsort(rank[skus.codes[usable]])]
            cells = {
                column.name: self._cells(column, values[column], places)
                for column in values
                if column.categories in ((), (category,))
            }
            for joined in JOINED:
                if joined.category == category:
                    cells[joined.name] = joined.join(*(cells[part] for part in joined.parts))
            hidden = {column.name for column in values if not column.shelved}
            shelves[category] = RowTable(
                self._records.rows[places],
                {name: cells[name] for name in cells if name not in hidden},
            )
        return shelves

    def text(self) -> RowTable:
        """Return every usable row as written."""
        usable = ~self._refused
        columns = self._columns
        if not usable.all():
            columns = {name: coded.of_rows(usable) for name, coded in columns.items()}
        cells = {name: coded.cells() for name, coded in columns.items()}
        return RowTable(self._records.rows[usable], cells)

    def refused_rows(self) -> tuple[Skipped, ...]:
        """Return how many rows are refused, by category."""
        places = np.flatnonzero(self._refused)
        unread = {finding.row for finding in self._records.findings if not finding.warning}
        categories = [""] * len(unread)
        if "category" in self._columns:
            coded = self._columns["category"]
            readable = bulk.lines(coded.texts.tolist())
            names = np.where(readable, coded.texts, "")
            categories += [name.lower() for name in names[coded.codes[places]]]
        return counted("refused", categories)

    def refused_skus(self) -> dict[str, int]:
        """Return for the sku of each refused row the number of the first such row."""
        if "sku" not in self._columns:
            return {}
        places = np.flatnonzero(self._refused)
        coded = self._columns["sku"]
        skus = coded.texts[coded.codes[places]].tolist()
        rows = self._records.rows[places].tolist()
        found = dict(zip(reversed(skus), reversed(rows), strict=True))
        found.pop("", None)
        return found

    def _using(self, column: Column, by_category: Mapping[str, Places]) -> Places:
        if not column.categories:
            return np.arange(len(self._refused))
        used = [by_category[c] for c in column.categories if c in by_category]
        return np.concatenate([np.empty(0, dtype=np.intp), *used])

    def _cells(self, column: Column, values: Values, places: Places) -> Values:
        if column.name in self._columns:
            cells: Values = values[self._columns[column.name].codes[places]]
            return cells
        return np.full(len(places), column.blank, dtype=values.dtype)


def _as_written(fault: Fault, coded: Coded, code: int) -> Fault:
    """Return a fault with the text that the source has, where it is of the whole text."""
    if coded.written is None or fault.value != coded.texts[code]:
        return fault
    return fault._replace(value=shortened(coded.written[code]))


def _blank(column: Column) -> int | str:
    if isinstance(column.blank, type):
        raise Refused(Fault(column.blank, ""))
    return column.blank
