"""What is known of a column: how its cells are read, and what they say."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt

from kitsolver.shop.columns import cells
from kitsolver.shop.columns.cells import Reader
from kitsolver.shop.columns.number_cells import Number
from kitsolver.shop.findings import Finding


@dataclass(frozen=True)
class Column:
    """One column, as the rows of some categories use it.

    Parameters
    ----------
    name : str
        Its name in the header.
    reads : callable
        Takes a trimmed cell and returns its value, or raises
        `kitsolver.shop.cell_faults.Refused`.
    blank : int, str or a kind of finding
        The value of a blank cell, or the finding of one that may not be blank.
    categories : tuple of str
        The categories whose rows use it; empty for every row.
    shelved : bool
        Whether the catalogue's shelves have a column of its values under its name.
    sound : callable, optional
        For columns of very many distinct texts: takes them all at once and returns which of
        them are right as they stand. Only the others are read one by one.
    meaning, example, unit : str
        What a cell says, as a sentence; a cell as it may be written; and the unit of a number.
    """

    name: str
    reads: Reader
    blank: int | str | type[Finding]
    categories: tuple[str, ...] = ()
    shelved: bool = True
    sound: Callable[[list[str]], npt.NDArray[np.bool_]] | None = None
    meaning: str = field(kw_only=True)
    example: str = field(kw_only=True)
    unit: str = field(default="", kw_only=True)

    @property
    def required(self) -> bool:
        """Whether the rows that use it must fill it."""
        return isinstance(self.blank, type)

    @property
    def numeric(self) -> bool:
        """Whether its values are whole numbers."""
        return isinstance(self.reads, Number) or self.reads in (cells.yes_or_no, cells.sold_by)


@dataclass(frozen=True)
class Size:
    """A size that each row of a category gives in exactly one of several ways."""

    category: str
    ways: tuple[tuple[str, ...], ...]

    def __str__(self) -> str:
        return ", or ".join(" and ".join(way) for way in self.ways)


@dataclass(frozen=True)
class Joined:
    """A number of the shelf that is computed from two columns; a blank length counts as 0."""

    name: str
    category: str
    join: Callable[[Any, Any], Any]
    parts: tuple[str, str]
