"""From the rows of a home list to a catalogue that knows what is at home.

Each row is completed: goods of the catalogue by the catalogue's own row, other goods by the default
quality. Completed rows are checked as a catalogue's are.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from decimal import Decimal
from functools import cached_property

import numpy as np

from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.cell_faults import Refused, shortened
from kitsolver.shop.columns.checks import listed_rows
from kitsolver.shop.columns.goods_columns import MOST
from kitsolver.shop.columns.header import header_findings
from kitsolver.shop.columns.number_cells import Number
from kitsolver.shop.columns.registry import LEFT
from kitsolver.shop.findings import BadInput, Finding
from kitsolver.shop.home import home_findings
from kitsolver.shop.home.home_agreement import Cells, SameGoods
from kitsolver.shop.home.unknown_goods import nearest_skus, unknown_at_home
from kitsolver.shop.home_list import METRE, HomeList, HomeRow
from kitsolver.shop.reading import catalogue_of
from kitsolver.shop.row_table import RowTable
from kitsolver.shop.source import Source
from kitsolver.shop.sources.file_findings import DecimalsUnchecked
from kitsolver.shop.sources.records import Coded, Records

# Columns in which a home list may differ from the catalogue.
_OF_HOME = {"sku", "price", "stock", LEFT}
_LEFT_METRES = Number(MOST, held=METRE, decimals=2, positive=False)


def with_home(
    catalogue: Catalogue,
    source: Source,
    *,
    quality: Decimal = Decimal(50),
    skip_bad_rows: bool = False,
) -> tuple[Catalogue, tuple[Finding, ...]]:
    """Return a catalogue that knows what is at home, and the findings of the home list.

    Parameters
    ----------
    catalogue : Catalogue
        What is for sale.
    source : Source
        The rows of the home list under our names.
    quality : Decimal
        Of goods that are only at home and do not say theirs.
    skip_bad_rows : bool
        Leave rows with errors out, instead of raising.

    Returns
    -------
    catalogue : Catalogue
        With the goods that are only at home as further rows, whose price is 0, and with the list
        as its `home`.
    findings : tuple of Finding
        Warnings, and the errors of the rows that were left out.

    Raises
    ------
    BadInput
        If a row has an error and is not to be skipped, or if the list as a whole is unusable.
        It carries every finding, in the order of the rows.
    """
    return _HomeReading(catalogue, source, quality).read(skip_bad_rows)


class _HomeReading:
    """The rows of one home list beside the catalogue that completes them."""

    def __init__(self, catalogue: Catalogue, source: Source, quality: Decimal) -> None:
        self.catalogue, self.source, self.name = catalogue, source, source.name
        self.quality = format(Decimal(quality), "f")
        records = source.records
        texts = {name: coded.texts[coded.codes] for name, coded in records.columns.items()}
        self.rows: dict[int, Cells] = {
            int(number): {name: str(cells[place]) for name, cells in texts.items() if cells[place]}
            for place, number in enumerate(records.rows)
        }
        self.numbers: dict[str, list[int]] = defaultdict(list)
        for number, cells in self.rows.items():
            self.numbers[cells.get("sku", "")].append(number)
        self.same_goods = SameGoods(catalogue.currency)

    def read(self, skip_bad_rows: bool) -> tuple[Catalogue, tuple[Finding, ...]]:
        """Return the catalogue with what is at home, and the findings."""
        records = self.source.records
        of_header = list(records.notes)
        of_header += [
            finding
            for finding in header_findings(self.name, records, required=("sku",))
            if finding.code != "no-rows"
        ]
        if any(not finding.warning for finding in of_header):
            raise BadInput([*map(self._placed, (*of_header, *records.findings))])
        barred = {number: list(self._barred(number)) for number in self.rows}
        for finding in records.faults(self.name):
            barred[finding.row or 0].append(finding)
        usable = [number for number, findings in barred.items() if not findings]
        findings = [*of_header, *records.findings]
        findings += [finding for each in barred.values() for finding in each]
        goods, of_rows = self._checked(usable)
        findings += of_rows
        left, of_metres = self._left(goods, usable)
        findings += of_metres
        findings.sort(key=lambda finding: finding.row or 0)
        told = tuple(map(self._placed, findings))
        if not skip_bad_rows and any(not finding.warning for finding in told):
            raise BadInput(told)
        bad = {finding.row for finding in findings if not finding.warning}
        rows = self._home_rows(goods, left, bad)
        return self._joined(
            goods, HomeList(self.name, rows, self.source.written, self.source.mapping)
        ), told

    # Findings

    def _placed(self, finding: Finding) -> Finding:
        mapping = self.source.mapping
        return mapping.place(finding) if mapping and finding.file == self.name else finding

    def _barred(self, number: int) -> Iterator[Finding]:
        """Yield why a row can be used in no way, whatever else it says."""
        cells = self.rows[number]
        sku = cells.get("sku", "")
        known = self.catalogue.row(sku) if sku in self.catalogue else {}
        if len(self.numbers[sku]) > 1 and sku:
            yield home_findings.RepeatedAtHome(
                file=self.name,
                row=number,
                column="sku",
                value=shortened(sku),
                detail=listed_rows(self.numbers[sku]),
            )
        if sku in self.catalogue.refused and not known:
            yield home_findings.RefusedAtHome(
                file=self.name, row=number, column="sku", value=shortened(sku)
            )
            return
        if "length" in (cells.get("sold_by", "").lower(), known.get("sold_by")):
            yield home_findings.ByLengthAtHome(
                file=self.name, row=number, column="sku", value=shortened(sku)
            )
            return
        if not known:
            if sku and not cells.get("category"):
                yield unknown_at_home(self.name, number, sku, self._nearest)
            return
        for name, cell in cells.items():
            if name in _OF_HOME or self.same_goods.agrees(name, cells, known):
                continue
            yield home_findings.OtherThanCatalogue(
                file=self.name,
                row=number,
                column=name,
                value=shortened(cell),
                detail=shortened(known.get(name, "")) or "blank",
            )

    @cached_property
    def _nearest(self) -> dict[str, str]:
        bare = (n for n, cells in self.rows.items() if not cells.get("category"))
        return nearest_skus((self.rows[n].get("sku", "") for n in bare), self.catalogue)

    # Completed rows

    @cached_property
    def _names(self) -> list[str]:
        """The columns of completed rows: the catalogue's, then the list's own."""
        own = [name for name in self.source.records.header if name != LEFT]
        return list(dict.fromkeys([*self.catalogue.cells.columns, *own, "quality", "stock"]))

    def _completed(self, number: int) -> Cells:
        cells = self.rows[number]
        sku = cells.get("sku", "")
        stock = {"stock": cells.get("stock", "1")}
        if sku in self.catalogue:
            return {**self.catalogue.row(sku), **stock}
        return {"quality": self.quality, **cells, "price": "0", **stock}

    def _checked(self, numbers: list[int]) -> tuple[Catalogue, list[Finding]]:
        """Return completed rows as a catalogue, and what is wrong with them."""
        rows = [self._completed(number) for number in numbers]
        columns = {}
        for name in self._names:
            cells = np.array([row.get(name, "") for row in rows], dtype=object)
            columns[name] = Coded.of(cells)
        records = Records(
            header=tuple(self._names),
            header_row=self.source.records.header_row,
            rows=np.array(numbers, dtype=np.int64),
            columns=columns,
            findings=(),
        )
        if not rows:
            none = RowTable(records.rows, {name: one.cells() for name, one in columns.items()})
            return Catalogue(self.name, self.catalogue.currency, none, {}), []
        goods = catalogue_of(
            Source(self.name, records), currency=self.catalogue.currency, skip_bad_rows=True
        )
        return goods, [finding for finding in goods.findings if self._concerns_home(finding)]

    def _concerns_home(self, finding: Finding) -> bool:
        """Tell whether a finding is about what the home list says itself."""
        if isinstance(finding, DecimalsUnchecked):
            return False
        own = self.rows.get(finding.row or 0, {})
        return own.get("sku", "") not in self.catalogue or finding.column in own

    def _left(self, goods: Catalogue, numbers: list[int]) -> tuple[dict[int, int], list[Finding]]:
        """Return the metres that rows say are left, by row, and what is wrong with them."""
        left: dict[int, int] = {}
        findings: list[Finding] = []
        for number in numbers:
            cell = self.rows[number].get(LEFT)
            if cell is None:
                continue
            place = {"file": self.name, "row": number, "column": LEFT}
            sku = self.rows[number].get("sku", "")
            row = goods.row(sku) if sku in goods else self._completed(number)
            if row.get("category", "").lower() != "thread" or ";" in row.get("colours", ""):
                found = home_findings.MetresOfOtherGoods(**place, value=shortened(cell))  # type: ignore[arg-type] # the place of a finding
                findings.append(found)
                continue
            try:
                left[number] = _LEFT_METRES(cell)
            except Refused as refused:
                findings += [
                    fault.kind(**place, value=fault.value, detail=fault.detail)  # type: ignore[arg-type] # likewise
                    for fault in refused.faults
                ]
        return left, findings

    # The result

    def _home_rows(
        self, goods: Catalogue, left: Mapping[int, int], bad: set[int | None]
    ) -> dict[str, HomeRow]:
        """Return the usable rows by sku."""
        found: dict[str, HomeRow] = {}
        for category, rows in goods.rows.items():
            single = np.zeros(len(rows), dtype=bool)
            skeins = np.zeros(len(rows), dtype=np.int64)
            if category == "thread":
                single = np.array([";" not in colours for colours in rows["colours"]], dtype=bool)
                # A skein's single strand, divided by its plies, is the length of the skein.
                skeins = rows["skein_length"] // rows["strands"]
            each = zip(rows.numbers, rows["sku"], rows["stock"], single, skeins, strict=True)
            for number, sku, stock, is_single, skein in each:
                if number in bad:
                    continue
                length = left.get(int(number), int(stock) * int(skein)) if is_single else None
                found[sku] = HomeRow(
                    sku=sku,
                    number=int(number),
                    category=category,
                    units=0 if is_single else int(stock),
                    length=length,
                    only_here=sku not in self.catalogue,
                    cells=self.rows[int(number)],
                )
        return found

    def _joined(self, goods: Catalogue, home: HomeList) -> Catalogue:
        """Return the catalogue with the goods that are only at home, after its own rows."""
        new = [row.number for row in home.rows.values() if row.only_here]
        if not new:
            return replace(self.catalogue, home=home)
        rows = dict(self.catalogue.rows)
        for category, of_category in goods.rows.items():
            mine = _only(new, of_category)
            if len(mine):
                both = rows[category].followed_by(mine) if category in rows else mine
                rows[category] = both.where(np.argsort(both["sku"], kind="stable"))
        return replace(
            self.catalogue,
            cells=self.catalogue.cells.followed_by(_only(new, goods.cells)),
            rows=rows,
            categories=self.catalogue.categories | goods.categories,
            home=home,
        )


def _only(numbers: Collection[int], rows: RowTable) -> RowTable:
    """Return those of some rows of the home list, with their numbers below zero."""
    mine = rows.where(np.isin(rows.numbers, list(numbers)))
    return RowTable(-mine.numbers, mine.columns)
