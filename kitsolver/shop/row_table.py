"""Rows of a catalogue, column by column."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    import pandas as pd

Cells = NDArray[Any]

# So many values are looked for one by one.
_FEW = 4


@dataclass(frozen=True, eq=False)
class RowTable:
    """Rows, each known by its number.

    Importing pandas takes longer than most kits, so it is imported for `frame` alone.

    Parameters
    ----------
    numbers : array of int
        For each row its number in the source, below zero for a row of the home list. No two are
        equal.
    columns : mapping of str to array
        For each column the value of each row.
    """

    numbers: NDArray[np.int64]
    columns: Mapping[str, Cells] = field(repr=False)

    def __len__(self) -> int:
        return len(self.numbers)

    def __contains__(self, name: object) -> bool:
        return name in self.columns

    def __getitem__(self, name: str) -> Cells:
        return self.columns[name]

    def where(self, chosen: NDArray[Any]) -> RowTable:
        """Return some of the rows: those of a mask, or those at some places."""
        columns = {name: cells[chosen] for name, cells in self.columns.items()}
        return RowTable(self.numbers[chosen], columns)

    def having(self, name: str, values: Collection[Any]) -> NDArray[np.bool_]:
        """Return which rows have one of some values in a column."""
        wanted = frozenset(values)
        cells = self.columns[name]
        if cells.dtype == object and 0 < len(wanted) <= _FEW:
            found: NDArray[np.bool_] = np.logical_or.reduce([cells == value for value in wanted])
            return found
        return np.fromiter((cell in wanted for cell in cells.tolist()), dtype=bool, count=len(self))

    def with_columns(self, **columns: Cells) -> RowTable:
        """Return the rows with further columns, or with others in their place."""
        return RowTable(self.numbers, {**self.columns, **columns})

    def followed_by(self, others: RowTable) -> RowTable:
        """Return the rows and others after them; a column that one of them lacks is blank there."""
        blanks = (np.full(len(part), "", dtype=object) for part in (self, others))
        mine, theirs = blanks
        columns = {
            name: np.concatenate([self.columns.get(name, mine), others.columns.get(name, theirs)])
            for name in {**self.columns, **others.columns}
        }
        return RowTable(np.concatenate([self.numbers, others.numbers]), columns)

    def place(self, number: int) -> int:
        """Return the place of a row.

        Raises
        ------
        KeyError
            If there is no row of this number.
        """
        (places,) = np.nonzero(self.numbers == number)
        if not len(places):
            raise KeyError(number)
        return int(places[0])

    def places(self, numbers: NDArray[np.int64]) -> NDArray[np.intp]:
        """Return the places of rows that are there."""
        order = self._order
        return order[np.searchsorted(self.numbers, numbers, sorter=order)]

    @cached_property
    def colour_counts(self) -> NDArray[np.int64]:
        """How many colours each row has, of rows that have some."""
        cells = self.columns["colours"].tolist()
        return np.array([cell.count(";") + 1 for cell in cells], dtype=np.int64)

    @cached_property
    def _order(self) -> NDArray[np.intp]:
        return np.argsort(self.numbers, kind="stable")

    @cached_property
    def frame(self) -> pd.DataFrame:
        """The rows as a data frame, texts as plain objects, indexed by their numbers."""
        import pandas as pd

        index = pd.Index(self.numbers, name="row")
        columns = {
            name: pd.Series(cells, index=index, dtype=cells.dtype, copy=False)
            for name, cells in self.columns.items()
        }
        return pd.DataFrame(columns, index=index, copy=False)
