"""A source as the shop writes it: its own headers, its own texts, its own way to write numbers."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING

import numpy as np

from kitsolver.shop.sources.header_names import folded
from kitsolver.shop.sources.records import Records

if TYPE_CHECKING:
    from kitsolver.shop.maps.mapping import ColumnMap


@dataclass(frozen=True)
class Written:
    """The rows of a source before its map, and the map.

    Parameters
    ----------
    records : Records
        The rows under the source's own headers, with its own texts.
    mapping : ColumnMap, optional
        How they are read.
    """

    records: Records = field(repr=False)
    mapping: ColumnMap | None = None

    def header_of(self, column: str) -> str | None:
        """Return the source's header for a column of ours; None if it has none of its own."""
        names = self.records.header
        mapped = {} if self.mapping is None else self.mapping.columns
        if column in mapped:
            return next((name for name in names if folded(name) == folded(mapped[column])), None)
        others = set(map(folded, mapped.values()))
        named = [name for name in names if folded(name) == column and folded(name) not in others]
        return column if column in named else next(iter(named), None)

    def number(self, number: Decimal | str) -> str:
        """Return a number with the source's decimal mark, and nothing between thousands."""
        text = format(number, "f") if isinstance(number, Decimal) else number
        comma = self.mapping is not None and self.mapping.decimal_comma
        return text.replace(".", ",") if comma else text

    def quality(self, quality: Decimal) -> str:
        """Return a quality from 0 to 100 on the source's scale, in whole stars if it has stars."""
        by = self.mapping
        scaled = quality * by.quality_most / 100 if by and by.quality_most else quality
        if by and by.stars:
            return by.stars * int(scaled.quantize(Decimal(1), ROUND_HALF_UP))
        return self.number(scaled.normalize())

    def category(self, ours: str) -> str:
        """Return the source's word for a category of ours; ours where it has none."""
        words = {} if self.mapping is None else self.mapping.categories
        return next((theirs for theirs, each in words.items() if folded(each) == ours), ours)

    def rows(self, numbers: list[int]) -> list[list[str]]:
        """Return the cells of rows, which are named by their numbers in the source."""
        places = np.searchsorted(self.records.rows, numbers)
        columns = [self.records.columns[name] for name in self.records.header]
        return [[str(coded.texts[coded.codes[place]]) for coded in columns] for place in places]
