"""Whether a row of a home list says the same of goods as the catalogue that sells them."""

from __future__ import annotations

from collections.abc import Mapping

from kitsolver.shop.cell_faults import Refused
from kitsolver.shop.columns.column import Column
from kitsolver.shop.columns.goods_columns import JOINED, MOST
from kitsolver.shop.columns.number_cells import Number
from kitsolver.shop.columns.registry import KNOWN, columns

# Numbers in columns of the shop's own.
_PLAIN = Number(MOST, held=10**6, decimals=6, positive=False)

Cells = Mapping[str, str]


class SameGoods:
    """Compares cells by what they stand for, not by how they are written."""

    def __init__(self, currency: str | None) -> None:
        self.described: dict[str, list[Column]] = {}
        for column in columns(currency):
            self.described.setdefault(column.name, []).append(column)

    def agrees(self, name: str, cells: Cells, known: Cells) -> bool:
        """Tell whether a cell says the same as the catalogue; numbers by their value.

        Parameters
        ----------
        name : str
            The cell's column.
        cells, known : mapping of str to str
            The row of the list, and the catalogue's.
        """
        said, has = cells[name], known.get(name, "")
        if said == has or (name not in known and name not in KNOWN):
            return True
        category = known["category"]
        one, other = self._value(name, category, said), self._value(name, category, has)
        if one is not None and one == other:
            return True
        for joined in JOINED:
            # The same length may be given in the other unit.
            if joined.category == category and name in joined.parts and not has:
                lengths = [
                    [self._value(part, category, row.get(part, "")) for part in joined.parts]
                    for row in (cells, known)
                ]
                sums = [joined.join(*pair) for pair in lengths if None not in pair]
                return len(sums) == 2 and sums[0] == sums[1]
        return False

    def _value(self, name: str, category: str, cell: str) -> object:
        """Return what a cell stands for; None if it cannot be read."""
        for column in self.described.get(name, ()):
            if column.categories in ((), (category,)):
                try:
                    return column.reads(cell) if cell else column.blank
                except Refused:
                    return None
        try:
            return _PLAIN(cell)
        except Refused:
            return None
