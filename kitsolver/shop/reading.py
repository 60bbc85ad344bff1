"""From a CSV file to a catalogue, or to everything that is wrong with it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from os import PathLike
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from kitsolver.shop import bulk, kinds
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.cells import Fault, Refused, shortened
from kitsolver.shop.columns import (
    FOR_EACH_COLOUR,
    JOINED,
    KNOWN,
    NUMERIC,
    ROLL,
    SIZES,
    Column,
    Size,
    columns,
)
from kitsolver.shop.findings import BadInput, Finding
from kitsolver.shop.header import header_findings
from kitsolver.shop.mapping import ColumnMap
from kitsolver.shop.records import Records
from kitsolver.shop.sources import records_of
from kitsolver.shop.tables import shown

_Places = npt.NDArray[np.intp]
_Values = npt.NDArray[Any]  # whole numbers or texts

# How many bearers of one sku are named before the rest are counted.
_MOST_NAMED = 20

# In a column of the shop's own a signed number is a number, and stays one in an exported file.
_SIGNED_NUMBER = re.compile(r"[-+][0-9]+(?:[.,][0-9]+)?")


def read_catalogue(
    path: str | PathLike[str],
    *,
    currency: str | None = None,
    skip_bad_rows: bool = False,
    name: str | None = None,
    mapping: ColumnMap | None = None,
) -> Catalogue:
    """Read and check the catalogue at `path`.

    Parameters
    ----------
    path : path-like
        A CSV file (RFC 4180, UTF-8 with or without BOM), a workbook (``.xlsx``, its first sheet or
        that named behind a ``#``), a Parquet file (``.parquet``), or the address of a database
        with a table's name or a query behind a ``#``.
    currency : str, optional
        The currency (ISO 4217) whose decimals the prices may have.
    skip_bad_rows : bool
        Leave rows with errors out, instead of raising.
    name : str, optional
        What findings call the file, if not by its path.
    mapping : ColumnMap, optional
        How the source's headers and values become ours.

    Returns
    -------
    Catalogue
        All rows, or with `skip_bad_rows` the usable ones.

    Raises
    ------
    BadInput
        If a row has an error and is not to be skipped, or if the file as a whole is unusable.
        It carries every finding, warnings too, in the file's order.
    KeyError
        If `currency` is unknown.
    """
    described = columns(currency)
    name = name or shown(str(path))
    records = records_of(str(path), name, mapping)
    of_header = header_findings(name, records)
    reading = _Reading(name, records, of_header)
    if currency is None:
        reading.find(kinds.DecimalsUnchecked, "price")
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
    return Catalogue(
        name=name,
        currency=currency,
        shelves=reading.shelves(by_category, values),
        text=reading.text(),
        findings=findings,
        categories=frozenset(by_category),
    )


class _Reading:
    """The records of one file, the findings so far, and which rows they refuse."""

    def __init__(self, name: str, records: Records, findings: Iterable[Finding]) -> None:
        self._name = name
        self._records = records
        self._columns = records.columns
        self._refused = np.zeros(len(records.rows), dtype=bool)
        self._findings = [*findings, *records.findings]

    def find(
        self,
        kind: type[Finding],
        column: str | None = None,
        value: str | None = None,
        detail: str = "",
        row: int | None = None,
    ) -> None:
        """Note a finding."""
        self._findings.append(
            kind(file=self._name, row=row, column=column, value=value, detail=detail)
        )

    def sort_by_category(self) -> dict[str, _Places]:
        """Return for each well-written category the places of its rows."""
        if "category" not in self._columns:
            return {}
        coded = self._columns["category"]
        order = np.argsort(coded.codes, kind="stable")
        bounds = np.searchsorted(coded.codes[order], np.arange(len(coded.texts) + 1))
        return {
            text: order[bounds[code] : bounds[code + 1]]
            for code, text in enumerate(coded.texts)
            if text and text == text.lower()
        }

    def check_needed(self, described: Iterable[Column], by_category: Mapping[str, _Places]) -> None:
        """Find each column that rows of some category need and the header lacks; refuse them."""
        needing: dict[str, list[str]] = {}
        for column in described:
            if column.required and column.categories and column.name not in self._columns:
                present = [c for c in column.categories if c in by_category]
                needing.setdefault(column.name, []).extend(present)
        for name, categories in needing.items():
            if categories:
                count = sum(len(by_category[c]) for c in categories)
                detail = f"{_counted(count, ' and '.join(categories))} it"
                self.find(kinds.NeededColumnMissing, name, detail=detail)
                for category in categories:
                    self._refused[by_category[category]] = True

    def convert(self, column: Column, by_category: Mapping[str, _Places]) -> _Values:
        """Return the value of each distinct text of a column, where rows that use it hold it."""
        values_of = np.int64 if column.numeric else object
        if column.name not in self._columns:
            return np.empty(0, dtype=values_of)
        coded = self._columns[column.name]
        places = self._using(column, by_category)
        here = coded.codes[places]
        values = np.zeros(len(coded.texts), dtype=values_of)
        texts = coded.texts.tolist()
        faults: dict[int, tuple[Fault, ...]] = {}
        used = np.bincount(here, minlength=len(values)) > 0
        if column.sound:
            sound = column.sound(texts)
            values[sound] = coded.texts[sound]
            used &= ~sound
        for code in np.flatnonzero(used).tolist():
            try:
                text = texts[code]
                values[code] = column.reads(text) if text else _blank(column)
            except Refused as refused:
                faults[code] = refused.faults
        self._refuse(column.name, places, here, faults)
        return values

    def rolls(self, by_category: Mapping[str, _Places]) -> _Places:
        """Return the places of fabric off the roll; refuse what gives a height nevertheless."""
        none = np.empty(0, dtype=np.intp)
        if "sold_by" not in self._columns or "fabric" not in by_category:
            return none
        coded, places = self._columns["sold_by"], by_category["fabric"]
        rolls: _Places = places[(coded.texts == "length")[coded.codes[places]]]
        fault = Fault(kinds.RollWithHeight, "")
        for name in ("height_cm", "height_in"):
            self._refuse(name, rolls, self._filled(name, rolls).astype(int), {1: (fault,)})
        return rolls

    def check_size(self, size: Size, places: _Places) -> None:
        """Find the rows that do not give their size in exactly one way."""
        if not len(places):
            return
        if not any(self._columns.keys() >= set(way) for way in size.ways):
            way = max(size.ways, key=lambda way: len(self._columns.keys() & set(way)))
            missing = next(name for name in way if name not in self._columns)
            detail = f"{_counted(len(places), size.category)} {size}"
            self.find(kinds.NeededColumnMissing, missing, detail=detail)
            self._refused[places] = True
            return
        filled = [[self._filled(name, places) for name in way] for way in size.ways]
        touched = sum(np.logical_or.reduce(way).astype(int) for way in filled)
        complete = np.logical_or.reduce([np.logical_and.reduce(way) for way in filled])
        outcome = np.select([touched == 0, touched > 1, ~complete], [1, 2, 3], default=0)
        faults = {
            1: (Fault(kinds.SizeMissing, "", str(size)),),
            2: (Fault(kinds.SizeInTwoUnits, "", str(size)),),
            3: (Fault(kinds.SizeIncomplete, "", str(size)),),
        }
        self._refuse(size.ways[0][0], places, outcome, faults)

    def check_for_each_colour(self, by_category: Mapping[str, _Places]) -> None:
        """Refuse charts that say something for more or fewer colours than they have."""
        places = by_category.get("chart")
        if places is None or "colours" not in self._columns:
            return
        colours = self._columns["colours"]
        for name in FOR_EACH_COLOUR:
            if name not in self._columns:
                continue
            said = self._columns[name]
            for place in places[self._filled(name, places)].tolist():
                asked = colours.texts[colours.codes[place]].count(";") + 1
                told = said.texts[said.codes[place]].count(";") + 1
                if asked != told:
                    detail = f"{told} entries for {asked} colours"
                    value = shortened(said.texts[said.codes[place]])
                    fault = Fault(kinds.UnequalLists, value, detail)
                    self._refuse(name, np.array([place]), np.array([0]), {0: (fault,)})

    def check_openings(self) -> None:
        """Refuse rows that give their opening in two units."""
        everywhere = np.arange(len(self._refused))
        both = self._filled("opening_cm", everywhere) & self._filled("opening_in", everywhere)
        fault = Fault(kinds.TwoOpenings, "")
        self._refuse("opening_cm", everywhere, both.astype(int), {1: (fault,)})

    def check_duplicates(self) -> None:
        """Refuse every bearer of a sku that several rows bear, and name them all."""
        if "sku" not in self._columns:
            return
        coded = self._columns["sku"]
        repeated = np.bincount(coded.codes, minlength=len(coded.texts)) > 1
        repeated &= coded.texts != ""
        bearers: dict[int, list[int]] = {}
        places = np.flatnonzero(repeated[coded.codes])
        for place in places:
            row = int(self._records.rows[place])
            bearers.setdefault(int(coded.codes[place]), []).append(row)
        faults = {
            code: (Fault(kinds.DuplicateSku, shortened(coded.texts[code]), _listed_rows(rows)),)
            for code, rows in bearers.items()
        }
        self._refuse("sku", places, coded.codes[places], faults)

    def check_formulas(self) -> None:
        """Warn of each text that a spreadsheet would take for a formula."""
        everywhere = np.arange(len(self._refused))
        for name, coded in self._columns.items():
            if name in NUMERIC:
                continue
            suspects = np.flatnonzero(bulk.formulas(coded.texts.tolist())).tolist()
            faults = {
                code: (Fault(kinds.FormulaLike, shortened(coded.texts[code])),)
                for code in suspects
                if name in KNOWN or not _SIGNED_NUMBER.fullmatch(coded.texts[code])
            }
            self._refuse(name, everywhere, coded.codes, faults)

    def sorted_findings(self) -> tuple[Finding, ...]:
        """Return the findings so far in the file's order, those of the whole file first."""
        position = {name: place for place, name in enumerate(self._records.header)}
        return tuple(
            sorted(self._findings, key=lambda f: (f.row or 0, position.get(f.column or "", -1)))
        )

    def shelves(
        self, by_category: Mapping[str, _Places], values: Mapping[Column, _Values]
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
        cells = {name: coded.texts[coded.codes[usable]] for name, coded in self._columns.items()}
        return _frame(cells, self._records.rows[usable])

    def _using(self, column: Column, by_category: Mapping[str, _Places]) -> _Places:
        if not column.categories:
            return np.arange(len(self._refused))
        used = [by_category[c] for c in column.categories if c in by_category]
        return np.concatenate([np.empty(0, dtype=np.intp), *used])

    def _filled(self, name: str, places: _Places) -> npt.NDArray[np.bool_]:
        if name not in self._columns:
            return np.zeros(len(places), dtype=bool)
        return self._columns[name].filled()[places]

    def _cells(self, column: Column, values: _Values, places: _Places) -> _Values:
        if column.name in self._columns:
            return values[self._columns[column.name].codes[places]]
        return np.full(len(places), column.blank, dtype=values.dtype)

    def _refuse(
        self,
        column: str,
        places: _Places,
        codes: npt.NDArray[np.integer],
        faults: Mapping[int, tuple[Fault, ...]],
    ) -> None:
        """Note the faults of each place whose code has some; refuse it unless they only warn."""
        if not faults:
            return
        hit = np.isin(codes, list(faults))
        for place, code in zip(places[hit].tolist(), codes[hit].tolist(), strict=True):
            row = int(self._records.rows[place])
            for kind, value, detail in faults[code]:
                self.find(kind, column, value, detail, row)
                self._refused[place] |= not kind.warning


def _blank(column: Column) -> int | str:
    if isinstance(column.blank, type):
        raise Refused(Fault(column.blank, ""))
    return column.blank


def _frame(cells: Mapping[str, _Values], rows: npt.NDArray[np.int64]) -> pd.DataFrame:
    """Return a table of `cells`, texts kept as plain objects and nothing copied."""
    index = pd.Index(rows, name="row")
    columns = {n: pd.Series(v, index=index, dtype=v.dtype, copy=False) for n, v in cells.items()}
    return pd.DataFrame(columns, index=index, copy=False)


def _counted(count: int, what: str) -> str:
    return f"1 {what} row needs" if count == 1 else f"{count} {what} rows need"


def _listed_rows(rows: list[int]) -> str:
    named = ", ".join(map(str, rows[:_MOST_NAMED]))
    rest = len(rows) - _MOST_NAMED
    return f"rows {named} and {rest} more" if rest > 0 else f"rows {named}"
