"""What rows of one category say in a column that a brief names: as text, or as exact numbers.

A blank cell says what the column means by it, if that is a value. Charts have two columns that are
computed: ``stitches``, the sum over their colours, and ``shades``, the number of colours. A length
may be given in either unit.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction
from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from kitsolver.craft.lengths import CM, INCH
from kitsolver.craft.thread import USUAL_KIND
from kitsolver.shop.catalogue import UNLIMITED
from kitsolver.shop.columns.charted import charted
from kitsolver.shop.columns.registry import NUMERIC, columns
from kitsolver.shop.distinct import distinct
from kitsolver.shop.row_table import RowTable

# Columns of ours with a number for each entry of a list.
NUMBER_LISTS = frozenset({"needle_sizes", "colour_strands"})
# Columns that charts have beside those of the catalogue.
CHART_FIGURES = ("stitches", "shades")
# The most decimals and digits of a number that a brief compares.
MOST_DECIMALS = 6
_MOST_DIGITS = 40
_NUMBER = re.compile(rf"[0-9]+(\.[0-9]{{1,{MOST_DECIMALS}}})?")
_UNITS = {"cm": CM, "in": INCH}

Meant = Callable[[str], tuple[Fraction, ...]]


class Said(NamedTuple):
    """What rows say in a column.

    Parameters
    ----------
    codes : array of int, shape (rows,)
        For each row the place of what it says.
    distinct : list of tuple of Fraction
        The numbers of every distinct cell, several of a list; none of a blank cell.
    """

    codes: NDArray[np.int64]
    distinct: list[tuple[Fraction, ...]]

    def where(self, test: Callable[[tuple[Fraction, ...]], bool]) -> NDArray[np.bool_]:
        """Return which rows pass a test, which is asked once for each distinct cell."""
        return np.array([test(each) for each in self.distinct], dtype=bool)[self.codes]


def is_exact_number(text: str) -> bool:
    """Tell whether a cell is a number that a brief may compare: of at most six decimals."""
    return len(text) <= _MOST_DIGITS and bool(_NUMBER.fullmatch(text))


def is_numeric(column: str, category: str) -> bool | None:
    """Tell whether a column of ours holds numbers; None for a column of the shop's own."""
    if column in NUMERIC or column in NUMBER_LISTS or _is_figure(column, category):
        return True
    return False if any(each.name == column for each in columns()) else None


def cells(
    text: RowTable, numbers: NDArray[np.int64], category: str, column: str
) -> NDArray[np.object_]:
    """Return the cells of rows of a category as they are written, blank where there is no column.

    Parameters
    ----------
    text : RowTable
        The catalogue as written.
    numbers : array of int
        Of the rows.
    """
    if _is_figure(column, category):
        codes, colours = distinct(text["colours"][text.places(numbers)])
        figures = [_figure(str(each), column) for each in colours]
        return np.array(figures, dtype=object)[codes]
    if column not in text:
        return np.full(len(numbers), "", dtype=object)
    found: NDArray[np.object_] = text[column][text.places(numbers)]
    return found


def numbers(
    text: RowTable, rows: NDArray[np.int64], category: str, column: str, meant: Meant
) -> Said:
    """Return the numbers that rows of a category say in a column; what is no number is left out.

    Parameters
    ----------
    meant : callable
        Takes a column and returns the numbers that a blank cell means.
    """
    codes, said = _read(text, rows, category, column, Fraction(1), meant)
    name, _, unit = column.rpartition("_")
    other = {"cm": "in", "in": "cm"}.get(unit)
    if other is None or f"{name}_{other}" not in NUMERIC or f"{name}_{other}" not in text:
        return Said(codes, said)
    factor = Fraction(_UNITS[other], _UNITS[unit])
    others, converted = _read(text, rows, category, f"{name}_{other}", factor, meant)
    blank = np.array([not each for each in said], dtype=bool)[codes]
    return Said(np.where(blank, others + len(said), codes), [*said, *converted])


def _read(
    text: RowTable,
    rows: NDArray[np.int64],
    category: str,
    column: str,
    factor: Fraction,
    meant: Meant,
) -> tuple[NDArray[np.int64], list[tuple[Fraction, ...]]]:
    codes, found = distinct(cells(text, rows, category, column))

    def read(cell: str) -> tuple[Fraction, ...]:
        exact = filter(is_exact_number, parts(cell))
        return tuple(Fraction(part) * factor for part in exact) if cell else meant(column)

    return codes, [read(str(cell)) for cell in found]


def parts(cell: str) -> list[str]:
    """Return the parts of a cell that is parted by semicolons; none of a blank one."""
    return [part.strip() for part in cell.split(";") if part.strip()]


def blank_means(column: str, category: str | None = None) -> str:
    """Return what a blank cell means, as it would be written; blank if it has no value.

    Parameters
    ----------
    category : str, optional
        Of the row; a column of other categories then means nothing.
    """
    meant, users = _defaults().get(column, ("", ()))
    return meant if category is None or not users or category in users else ""


@cache
def _defaults() -> dict[str, tuple[str, tuple[str, ...]]]:
    """Return what a blank cell stands for and the categories it does for, by column."""
    words = {"kind": USUAL_KIND, "download": "no", "sold_by": "unit"}
    found: dict[str, tuple[str, tuple[str, ...]]] = {}
    for column in columns():
        held = getattr(column.reads, "held", 1)
        meant = words.get(column.name, "")
        if isinstance(column.blank, int) and 0 < column.blank < UNLIMITED:
            meant = str(column.blank // held)
        if meant:
            found[column.name] = meant, column.categories
    return found


def _is_figure(column: str, category: str) -> bool:
    return category == "chart" and column in CHART_FIGURES


def _figure(colours: str, column: str) -> str:
    """Return a computed column of a chart, as a cell would have it."""
    shades = charted(colours)
    if column == "shades":
        return str(len(shades))
    stitches = sum((Fraction(one.stitches) for one in shades), Fraction(0))
    whole, half = divmod(stitches, 1)
    return f"{whole}.5" if half else str(whole)
