"""What is at home, goods by goods, and a catalogue that knows of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from kitsolver.shop.maps.mapping import ColumnMap
    from kitsolver.shop.sources.records import Records

# Metres are held in ten-thousandths: a skein's length has four decimals.
METRE = 10_000


def decimal_metres(length: int) -> Decimal:
    """Return a length in ten-thousandths of a metre as metres, with two decimals or more."""
    metres = Decimal(length) / METRE
    return metres if metres != round(metres, 2) else round(metres, 2)


@dataclass(frozen=True)
class HomeRow:
    """Goods of one sku at home.

    Parameters
    ----------
    sku : str
        What the list calls them.
    number : int
        The number of the row in the list.
    category : str
        Their category.
    units : int
        How many units there are; 0 of a single thread, which is counted in metres.
    length : int or None
        Of a single thread the metres of full thread over all skeins, in ten-thousandths.
    only_here : bool
        Whether the catalogue has no row of them, so that none can be bought.
    cells : mapping of str to str
        The row as the list has it, by our names, without blank cells.
    """

    sku: str
    number: int
    category: str
    units: int
    length: int | None
    only_here: bool
    cells: Mapping[str, str] = field(repr=False)

    @property
    def metres(self) -> Fraction:
        """The metres of full thread that are left, of a single thread."""
        return Fraction(self.length or 0, METRE)


@dataclass(frozen=True)
class HomeList:
    """What one buyer has at home.

    Parameters
    ----------
    name : str
        What the list is called: its path, or its address without the password.
    rows : mapping of str to HomeRow
        By sku.
    written : Records, optional
        The list as it was written, before any map; None where it was not read from a source.
    mapping : ColumnMap, optional
        The map by which it was read.
    """

    name: str
    rows: Mapping[str, HomeRow] = field(repr=False)
    written: Records | None = field(default=None, repr=False)
    mapping: ColumnMap | None = field(default=None, repr=False)

    def of(self, skus: NDArray[np.object_]) -> tuple[NDArray[np.intp], list[HomeRow]]:
        """Return which of some sorted skus are at home: their places, and their rows."""
        listed = sorted(sku for sku in self.rows)
        if not len(skus) or not listed:
            return np.empty(0, dtype=np.intp), []
        places = np.minimum(np.searchsorted(skus, np.array(listed, dtype=object)), len(skus) - 1)
        found = [
            (place, self.rows[sku])
            for place, sku in zip(places.tolist(), listed, strict=True)
            if skus[place] == sku
        ]
        return np.array([place for place, _ in found], dtype=np.intp), [row for _, row in found]
