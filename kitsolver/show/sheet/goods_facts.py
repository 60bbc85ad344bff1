"""What the catalogue says of the goods of a kit, as pictures and papers need it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal, InvalidOperation
from fractions import Fraction

from kitsolver.shop.catalogue import NOT_GIVEN, RATE_UNIT, Catalogue

_MM = {"_cm": Decimal(10), "_in": Decimal("25.4")}
# What the shop pays is nobody else's business: no picture and no paper has it.
_SECRET = frozenset({"trade_cost"})


@dataclass(frozen=True)
class GoodsFacts:
    """Facts of rows by sku; a row that is not known has none.

    Parameters
    ----------
    cells : mapping of str to mapping of str to str
        The cells of each row as written, but for those that are the shop's own business.
    stocks : mapping of str to int
        How many units are on the shelf, of those rows of which the number is limited.
    tax_rates : mapping of str to Fraction
        Of those rows that state one.
    downloads : frozenset of str
        Rows that are not delivered.
    """

    cells: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    stocks: Mapping[str, int] = field(default_factory=dict)
    tax_rates: Mapping[str, Fraction] = field(default_factory=dict)
    downloads: frozenset[str] = frozenset()

    @classmethod
    def of(cls, catalogue: Catalogue | None, skus: Iterable[str]) -> GoodsFacts:
        """Return the facts of some rows of a catalogue."""
        if catalogue is None:
            return cls()
        known = [sku for sku in dict.fromkeys(skus) if sku in catalogue]
        cells, stocks, tax_rates, downloads = {}, {}, {}, set()
        for sku in known:
            row = catalogue.row(sku)
            cells[sku] = {name: cell for name, cell in row.items() if cell and name not in _SECRET}
            goods = catalogue.goods(sku)
            if (there := catalogue.stock_of(sku)) is not None:
                stocks[sku] = there
            if (rate := int(goods["tax_rate"])) != NOT_GIVEN:
                tax_rates[sku] = Fraction(rate, RATE_UNIT)
            if goods["download"]:
                downloads.add(sku)
        return cls(cells, stocks, tax_rates, frozenset(downloads))

    def cell(self, sku: str, column: str) -> str:
        """Return a cell as written; blank if it is not known."""
        return self.cells.get(sku, {}).get(column, "")

    @property
    def names(self) -> dict[str, str]:
        """What the goods are called, by sku."""
        return {sku: cells["name"] for sku, cells in self.cells.items() if "name" in cells}

    def colours(self, sku: str) -> tuple[str, ...]:
        """Return the colours of a row, without the stitches of a chart."""
        cells = self.cell(sku, "colours").split(";")
        return tuple(cell.partition(":")[0].strip().lower() for cell in cells if cell.strip())

    def millimetres(self, sku: str, column: str) -> float | None:
        """Return a length that is written in centimetres or in inches."""
        for unit, factor in _MM.items():
            try:
                return float(Decimal(self.cell(sku, column + unit)) * factor)
            except InvalidOperation:
                continue
        return None

    def serves(self, sku: str) -> int:
        """Return how many people one unit serves."""
        text = self.cell(sku, "serves")
        return int(text) if text.isascii() and text.isdigit() else 1

    def stock(self, sku: str) -> int | None:
        """Return how many units are on the shelf; None for any number, or if it is not known."""
        return self.stocks.get(sku)
