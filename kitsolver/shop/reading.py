"""From the rows of a source to a catalogue, or to everything that is wrong with them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from os import PathLike
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt
import pandas as pd

from kitsolver.shop import bulk, file_findings
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.cell_faults import Fault, Refused, shortened
from kitsolver.shop.checks import Checks, Places, Values
from kitsolver.shop.column import Column
from kitsolver.shop.columns import columns
from kitsolver.shop.findings import BadInput
from kitsolver.shop.frame_source import Table
from kitsolver.shop.goods_columns import JOINED, ROLL, SIZES
from kitsolver.shop.header import header_findings
from kitsolver.shop.records import Coded, Records
from kitsolver.shop.skipped import Skipped, counted
from kitsolver.shop.source_address import SourceAddress
from kitsolver.shop.sources import Source, read_source

if TYPE_CHECKING:
    from kitsolver.shop.mapping import ColumnMap


def read_catalogue(
    source: str | PathLike[str] | SourceAddress | Table,
    *,
    currency: str | None = None,
    skip_bad_rows: bool = False,
    name: str | None = None,
    mapping: ColumnMap | None = None,
    keep_written: bool = False,
) -> Catalogue:
    """Read and check a catalogue.

    Parameters
    ----------
    source : str, path-like, SourceAddress or dataframe
        What `kitsolver.shop.sources.read_source` takes: a CSV file, a spreadsheet, a Parquet file,
        the address of a database, or a table in memory: a pandas DataFrame, or one of any library
        that has the dataframe interchange protocol. Findings count its rows from 1.
    currency : str, optional
        The currency (ISO 4217) whose decimals the prices may have.
    skip_bad_rows : bool
        Leave rows with errors out, instead of raising.
    name : str, optional
        What findings call the source, if not by its address.
    mapping : ColumnMap, optional
        How the source's headers and values become ours.
    keep_written : bool
        Keep the rows as the shop writes them, too, for what is written in the shop's own way.

    Returns
    -------
    Catalogue
        All rows, or with `skip_bad_rows` the usable ones.

    Raises
    ------
    BadInput
        If a row has an error and is not to be skipped, or if the source as a whole is unusable.
        It carries every finding, warnings too, in the order of the rows.
    KeyError
        If `currency` is unknown.
    """
    columns(currency)
    return catalogue_of(
        read_source(source, name=name, mapping=mapping),
        currency=currency,
        skip_bad_rows=skip_bad_rows,
        keep_written=keep_written,
    )


def catalogue_of(
    source: Source,
    *,
    currency: str | None = None,
    skip_bad_rows: bool = False,
    keep_written: bool = False,
) -> Catalogue:
    """Check the rows of a source that has been read.

    Parameters
    ----------
    source : Source
        Its rows under our names.
    currency, skip_bad_rows, keep_written
        As `read_catalogue` has them.

    Raises
    ------
    BadInput, KeyError
        As `read_catalogue` does.
    """
    described = columns(currency)
    name, records, mapping = source.name, _in_lower_case(source.records), source.mapping
    of_header = [*records.notes, *header_findings(name, records)]
    reading = _Reading(name, records, of_header)
    if currency is None:
        reading.find(file_findings.DecimalsUnchecked, "price")
    reading.check_totals()
    by_category = reading.sort_by_category()
    reading.check_needed(described, by_category)
    values = {column: reading.convert(column, by_category) for column in described}
    rolls = reading.rolls(by_category)
    for size in SIZES:
        everyone = by_category.get(size.category, np.empty(0, dtype=np.intp))
        reading.check_size(size, np.setdiff1d(everyone, rolls))
    reading.check_size(ROLL, rolls)
    reading.check_for_each_colour(by_category)
    reading.check_openings()
    reading.check_duplicates()
    reading.check_formulas()

    findings = reading.sorted_findings()
    if mapping is not None:
        findings = tuple(map(mapping.place, findings))
    decisive = of_header if skip_bad_rows else findings
    if not all(finding.warning for finding in decisive):
        raise BadInput(findings)
    shelves = reading.shelves(by_category, values)
    # The largest source fits in memory only if what is done with is given up.
    del values
    return Catalogue(
        name=name,
        currency=currency,
        shelves=shelves,
        text=reading.text(),
        findings=findings,
        categories=frozenset(by_category),
        skipped=(*reading.refused_rows(), *records.skipped),
        refused=reading.refused_skus(),
        passed_over=records.passed_over,
        written=source.as_written if keep_written else None,
    )


# Read in any case, and held in lower case.
_ANY_CASE = frozenset({"category", "weave", "kind", "colour_kinds"})


class _Reading(Checks):
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
    ) -> dict[str, pd.DataFrame]:
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
            shelves[category] = _frame(
                {name: cells[name] for name in cells if name not in hidden},
                self._records.rows[places],
            )
        return shelves

    def text(self) -> pd.DataFrame:
        """Return every usable row as written."""
        usable = ~self._refused
        columns = self._columns
        if not usable.all():
            columns = {name: coded.of_rows(usable) for name, coded in columns.items()}
        cells = {name: coded.cells() for name, coded in columns.items()}
        return _frame(cells, self._records.rows[usable])

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


def _in_lower_case(records: Records) -> Records:
    """Return the rows of a source with what is read in any case held in lower case."""
    columns = dict(records.columns)
    for name in _ANY_CASE.intersection(columns):
        coded = columns[name]
        texts = np.array([text.lower() for text in coded.texts], dtype=object)
        if (texts != coded.texts).any():
            written = coded.texts if coded.written is None else coded.written
            columns[name] = replace(coded, texts=texts, written=written).distinct()
    return replace(records, columns=columns)


def _as_written(fault: Fault, coded: Coded, code: int) -> Fault:
    """Return a fault with the text that the source has, where it is of the whole text."""
    if coded.written is None or fault.value != coded.texts[code]:
        return fault
    return fault._replace(value=shortened(coded.written[code]))


def _blank(column: Column) -> int | str:
    if isinstance(column.blank, type):
        raise Refused(Fault(column.blank, ""))
    return column.blank


def _frame(cells: Mapping[str, Values], rows: npt.NDArray[np.int64]) -> pd.DataFrame:
    """Return a table of `cells`, texts kept as plain objects and nothing copied."""
    index = pd.Index(rows, name="row")
    columns = {n: pd.Series(v, index=index, dtype=v.dtype, copy=False) for n, v in cells.items()}
    return pd.DataFrame(columns, index=index, copy=False)
