"""Checks of rows beyond their single cells: sizes, lists of equal length, duplicate skus."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np
import numpy.typing as npt

from kitsolver.shop import catalogue_findings
from kitsolver.shop.cell_faults import Fault, shortened
from kitsolver.shop.columns import bulk
from kitsolver.shop.columns.column import Column, Size
from kitsolver.shop.columns.goods_columns import FOR_EACH_COLOUR
from kitsolver.shop.columns.registry import KNOWN, NUMERIC
from kitsolver.shop.findings import Finding
from kitsolver.shop.sources import file_findings
from kitsolver.shop.sources.records import Records
from kitsolver.shop.sources.totals import LEFT_BLANK, is_total

Places = npt.NDArray[np.intp]
Values = npt.NDArray[Any]  # whole numbers or texts

# Of the rows that have one sku so many are named; the rest are counted.
_MOST_NAMED = 20

# In a column of the shop's own a signed number is a number and no formula.
_SIGNED_NUMBER = re.compile(r"[-+][0-9]+(?:[.,][0-9]+)?")


class Checks:
    """The records of one source, the findings so far, and which rows they refuse."""

    def __init__(self, name: str, records: Records, findings: Iterable[Finding]) -> None:
        self._name = name
        self._records = records
        self._columns = records.columns
        self._refused = np.zeros(len(records.rows), dtype=bool)
        self._totals = np.zeros(len(records.rows), dtype=bool)
        self._findings = [*findings, *records.findings]

    def find(
        self,
        kind: type[Finding],
        column: str | None = None,
        value: str | None = None,
        detail: str = "",
        row: int | None = None,
    ) -> None:
        """Add a finding."""
        self._findings.append(
            kind(file=self._name, row=row, column=column, value=value, detail=detail)
        )

    def check_needed(self, described: Iterable[Column], by_category: Mapping[str, Places]) -> None:
        """Find each column that the header lacks, and refuse the rows whose category needs it."""
        needing: dict[str, list[str]] = {}
        for column in described:
            if column.required and column.categories and column.name not in self._columns:
                present = [c for c in column.categories if c in by_category]
                needing.setdefault(column.name, []).extend(present)
        for name, categories in needing.items():
            if categories:
                count = sum(len(by_category[c]) for c in categories)
                detail = f"{_counted(count, ' and '.join(categories))} it"
                self.find(file_findings.NeededColumnMissing, name, detail=detail)
                for category in categories:
                    self._refused[by_category[category]] = True

    def check_totals(self) -> None:
        """Refuse rows that sum others up: the one finding of each, whatever else they lack."""
        blank = np.zeros(len(self._refused), dtype=bool)
        for name in LEFT_BLANK:
            blank |= ~self._filled(name, np.arange(len(blank)))
        places = np.flatnonzero(blank)
        totals = self._totals.copy()
        for name, coded in self._columns.items():
            codes = coded.codes[places]
            faults = {
                code: (Fault(catalogue_findings.TotalsRow, shortened(coded.texts[code])),)
                for code in np.unique(codes).tolist()
                if is_total(coded.texts[code])
            }
            new = np.isin(codes, list(faults)) & ~totals[places]
            self.refuse(name, places[new], codes[new], faults)
            totals[places[new]] = True
        self._totals = totals

    def rolls(self, by_category: Mapping[str, Places]) -> Places:
        """Return the places of fabric off the roll; refuse those rows that have a height."""
        none = np.empty(0, dtype=np.intp)
        if "sold_by" not in self._columns or "fabric" not in by_category:
            return none
        coded, places = self._columns["sold_by"], by_category["fabric"]
        rolls: Places = places[(coded.texts == "length")[coded.codes[places]]]
        fault = Fault(catalogue_findings.RollWithHeight, "")
        for name in ("height_cm", "height_in"):
            self.refuse(name, rolls, self._filled(name, rolls).astype(int), {1: (fault,)})
        return rolls

    def check_size(self, size: Size, places: Places) -> None:
        """Find the rows that do not give their size in exactly one way."""
        if not len(places):
            return
        if not any(self._columns.keys() >= set(way) for way in size.ways):
            way = max(size.ways, key=lambda way: len(self._columns.keys() & set(way)))
            missing = next(name for name in way if name not in self._columns)
            detail = f"{_counted(len(places), size.category)} {size}"
            self.find(file_findings.NeededColumnMissing, missing, detail=detail)
            self._refused[places] = True
            return
        filled = [[self._filled(name, places) for name in way] for way in size.ways]
        touched = sum(np.logical_or.reduce(way).astype(int) for way in filled)
        complete = np.logical_or.reduce([np.logical_and.reduce(way) for way in filled])
        outcome = np.select([touched == 0, touched > 1, ~complete], [1, 2, 3], default=0)
        faults = {
            1: (Fault(catalogue_findings.SizeMissing, "", str(size)),),
            2: (Fault(catalogue_findings.SizeInTwoUnits, "", str(size)),),
            3: (Fault(catalogue_findings.SizeIncomplete, "", str(size)),),
        }
        self.refuse(size.ways[0][0], places, outcome, faults)

    def check_for_each_colour(self, by_category: Mapping[str, Places]) -> None:
        """Refuse charts whose lists of kinds or strands have another length than `colours`."""
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
                    fault = Fault(catalogue_findings.UnequalLists, value, detail)
                    self.refuse(name, np.array([place]), np.array([0]), {0: (fault,)})

    def check_openings(self) -> None:
        """Refuse rows that give their opening in two units."""
        everywhere = np.arange(len(self._refused))
        both = self._filled("opening_cm", everywhere) & self._filled("opening_in", everywhere)
        fault = Fault(catalogue_findings.TwoOpenings, "")
        self.refuse("opening_cm", everywhere, both.astype(int), {1: (fault,)})

    def check_duplicates(self) -> None:
        """Refuse every row whose sku another row has too, and name all of these rows."""
        if "sku" not in self._columns:
            return
        coded = self._columns["sku"]
        repeated = np.bincount(coded.codes, minlength=len(coded.texts)) > 1
        repeated &= coded.texts != ""
        rows_by_code: dict[int, list[int]] = {}
        places = np.flatnonzero(repeated[coded.codes])
        for place in places:
            row = int(self._records.rows[place])
            rows_by_code.setdefault(int(coded.codes[place]), []).append(row)
        faults = {
            code: (
                Fault(
                    catalogue_findings.DuplicateSku,
                    shortened(coded.texts[code]),
                    listed_rows(rows),
                ),
            )
            for code, rows in rows_by_code.items()
        }
        self.refuse("sku", places, coded.codes[places], faults)

    def check_formulas(self) -> None:
        """Warn of each text that a spreadsheet would take for a formula."""
        everywhere = np.arange(len(self._refused))
        for name, coded in self._columns.items():
            if name in NUMERIC:
                continue
            suspects = np.flatnonzero(bulk.formulas(coded.texts.tolist())).tolist()
            faults = {
                code: (Fault(catalogue_findings.FormulaLike, shortened(coded.texts[code])),)
                for code in suspects
                if name in KNOWN or not _SIGNED_NUMBER.fullmatch(coded.texts[code])
            }
            self.refuse(name, everywhere, coded.codes, faults)

    def sorted_findings(self) -> tuple[Finding, ...]:
        """Return the findings so far in the order of rows and columns, the source's own first."""
        position = {name: place for place, name in enumerate(self._records.header)}
        return tuple(
            sorted(self._findings, key=lambda f: (f.row or 0, position.get(f.column or "", -1)))
        )

    def _filled(self, name: str, places: Places) -> npt.NDArray[np.bool_]:
        if name not in self._columns:
            return np.zeros(len(places), dtype=bool)
        return self._columns[name].filled()[places]

    def refuse(
        self,
        column: str,
        places: Places,
        codes: npt.NDArray[np.integer],
        faults: Mapping[int, tuple[Fault, ...]],
    ) -> None:
        """Add the faults of each row's text as findings; refuse the row unless they only warn.

        Parameters
        ----------
        column : str
            Where the findings are.
        places : array of int
            The rows, by their place among the records.
        codes : array of int
            For each of them the code of its text.
        faults : mapping of int to tuple of Fault
            By code.
        """
        if not faults:
            return
        hit = np.isin(codes, list(faults)) & ~self._totals[places]
        for place, code in zip(places[hit].tolist(), codes[hit].tolist(), strict=True):
            row = int(self._records.rows[place])
            for kind, value, detail in faults[code]:
                self.find(kind, column, value, detail, row)
                self._refused[place] |= not kind.warning


def _counted(count: int, what: str) -> str:
    return f"1 {what} row needs" if count == 1 else f"{count} {what} rows need"


def listed_rows(rows: list[int]) -> str:
    """Return the numbers of rows as a finding lists them."""
    named = ", ".join(map(str, rows[:_MOST_NAMED]))
    rest = len(rows) - _MOST_NAMED
    return f"rows {named} and {rest} more" if rest > 0 else f"rows {named}"
