"""Which rows meet the conditions of a brief: those of a need, of an extra, of a rule."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kitsolver.brief.conditions import Conditions, WholeKit
from kitsolver.brief.frozen import FrozenDict
from kitsolver.shop.columns.registry import NUMERIC
from kitsolver.shop.distinct import distinct
from kitsolver.shop.money import MOST_DECIMALS
from kitsolver.shop.row_table import RowTable
from kitsolver.shop.row_values import (
    CHART_FIGURES,
    NUMBER_LISTS,
    Said,
    blank_means,
    cells,
    is_numeric,
    numbers,
    parts,
)

Mask = NDArray[np.bool_]

_NUMBER = re.compile(r"[0-9]+(\.[0-9]+)?")


@dataclass(frozen=True)
class Shelf:
    """Rows of one category as conditions look at them.

    Parameters
    ----------
    category : str
        Their category.
    rows : RowTable
        In whole units.
    text : RowTable
        The catalogue as written.
    tax_rate : Fraction
        The till's.
    """

    category: str
    rows: RowTable
    text: RowTable
    tax_rate: Fraction = Fraction(0)

    def __len__(self) -> int:
        return len(self.rows)

    def only(self, sku: str) -> Shelf:
        """Return the row of one sku alone."""
        return replace(self, rows=self.rows.where(self.rows["sku"] == sku))

    def cells(self, column: str) -> NDArray[np.object_]:
        """Return the rows' cells in a column, as written."""
        return cells(self.text, self.rows.numbers, self.category, column)

    def numbers(self, column: str, *, of_any: bool = False) -> Said:
        """Return the rows' numbers in a column.

        A blank cell says what it means in rows of the column's categories; with `of_any` in every
        row, as conditions have it.
        """
        category = None if of_any else self.category

        def meant(column: str) -> tuple[Fraction, ...]:
            default = blank_means(column, category)
            if column == "tax_rate":
                return (self.tax_rate,)
            return (Fraction(default),) if column in NUMERIC and default else ()

        return numbers(self.text, self.rows.numbers, self.category, column, meant)

    def values(self, column: str) -> NDArray[np.object_]:
        """Return for each row the set of what it says: numbers in a column of ours, else text."""
        values = np.empty(len(self), dtype=object)
        if is_numeric(column, self.category):
            codes, said = self.numbers(column)
            sets: list[frozenset[Any]] = [frozenset(each) for each in said]
        else:
            codes, found = distinct(self.cells(column))
            blank = blank_means(column, self.category)
            sets = [_texts(str(cell) or blank, column) for cell in found]
        values[:] = [sets[code] for code in codes]
        return values

    def holding(self, column: str, test: Callable[[str], bool]) -> Mask:
        """Return which rows' cells pass a test, which is asked once for each distinct cell."""
        codes, found = distinct(self.cells(column))
        return np.array([test(str(cell)) for cell in found], dtype=bool)[codes]


def meeting(shelf: Shelf, asked: Conditions) -> Mask:
    """Return which rows of a shelf meet every condition.

    Price and quality are held against the row's own.
    """
    good = np.ones(len(shelf), dtype=bool)
    if asked.max_price is not None:
        good &= shelf.rows["price"] <= floor(asked.max_price * 10**MOST_DECIMALS)
    if asked.min_quality is not None:
        good &= shelf.rows["quality"] >= ceil(asked.min_quality * 100)
    some, none = asked.tags_any, asked.tags_none
    if some:
        good &= shelf.holding("tags", lambda cell: not words(cell).isdisjoint(some))
    if none:
        good &= shelf.holding("tags", lambda cell: words(cell).isdisjoint(none))
    for column, allowed in asked.only.items():
        good &= shelf.holding(column, _allows(column, shelf.category, allowed))
    for column in dict.fromkeys((*asked.at_least, *asked.at_most)):
        good &= shelf.numbers(column, of_any=True).where(_within(column, asked))
    return good


def carrying(shelf: Shelf, asked: WholeKit) -> Mask:
    """Return which rows of a shelf meet the conditions for the whole kit."""
    barred, needed = set(asked.tags_none), set(asked.tags_all)
    if not (barred or needed):
        return np.ones(len(shelf), dtype=bool)

    def holds(cell: str) -> bool:
        return needed <= (carried := words(cell)) and carried.isdisjoint(barred)

    return shelf.holding("tags", holds)


def words(cell: str) -> frozenset[str]:
    """Return the words of a cell of tags."""
    return frozenset(parts(cell))


def values_at_home(
    known: Mapping[str, str], category: str, column: str
) -> frozenset[Fraction] | frozenset[str] | None:
    """Return what a thing at home says in a column; None where that is not described."""
    if not _is_described(column, category, known):
        return None
    text = _row(known)
    found: frozenset[Any] = Shelf(category, text, text).values(column)[0]
    return found


def met_at_home(known: Mapping[str, str], category: str, asked: Conditions) -> bool | None:
    """Tell whether a thing at home meets conditions, as far as it is described.

    Parameters
    ----------
    known : mapping of str to str
        What is described of it, by column.

    Returns
    -------
    bool or None
        None if that depends on what is not described.
    """
    text = _row(known)
    shelf = Shelf(category, text, text)
    unknown = False
    for column, condition in _one_by_one(asked):
        if _is_described(column, category, known):
            if not meeting(shelf, condition).all():
                return False
        else:
            unknown = True
    return None if unknown else True


def _row(known: Mapping[str, str]) -> RowTable:
    """Return a thing at home as a row."""
    cells = {column: np.array([text], dtype=object) for column, text in known.items()}
    return RowTable(np.zeros(1, dtype=np.int64), cells)


def _one_by_one(asked: Conditions) -> Iterator[tuple[str, Conditions]]:
    """Yield every condition alone, with the column that it is about."""
    if asked.max_price is not None:
        yield "price", Conditions(max_price=asked.max_price)
    if asked.min_quality is not None:
        yield "quality", Conditions(min_quality=asked.min_quality)
    if asked.tags_any or asked.tags_none:
        yield "tags", Conditions(tags_any=asked.tags_any, tags_none=asked.tags_none)
    for column, allowed in asked.only.items():
        yield column, Conditions(only=FrozenDict({column: allowed}))
    for column in dict.fromkeys((*asked.at_least, *asked.at_most)):
        least = {column: asked.at_least[column]} if column in asked.at_least else {}
        most = {column: asked.at_most[column]} if column in asked.at_most else {}
        yield column, Conditions(at_least=FrozenDict(least), at_most=FrozenDict(most))


def _is_described(column: str, category: str, known: Mapping[str, str]) -> bool:
    if category == "chart" and column in CHART_FIGURES:
        return "colours" in known
    name, _, unit = column.rpartition("_")
    other = {"cm": "in", "in": "cm"}.get(unit)
    return column in known or (other is not None and f"{name}_{other}" in known)


def _within(column: str, asked: Conditions) -> Callable[[tuple[Fraction, ...]], bool]:
    """Return the test of a cell's numbers: one of them is within both bounds."""
    least, most = asked.at_least.get(column), asked.at_most.get(column)

    def test(said: tuple[Fraction, ...]) -> bool:
        if not said and column == "stock":
            # Without end.
            return most is None
        return any(
            (least is None or number >= least) and (most is None or number <= most)
            for number in said
        )

    return test


def _texts(cell: str, column: str) -> frozenset[str]:
    if column == "colours":
        return frozenset(part.partition(":")[0].strip().lower() for part in parts(cell))
    return frozenset(parts(cell))


def _allows(
    column: str, category: str, allowed: Iterable[str | int | Decimal]
) -> Callable[[str], bool]:
    figure = category == "chart" and column in CHART_FIGURES
    numeric = figure or column in NUMERIC or column in NUMBER_LISTS
    by_value = {n for n in (_value(a, numeric) for a in allowed) if n is not None}
    by_text = {a.lower() if column == "colours" else a for a in allowed if isinstance(a, str)}
    default = blank_means(column)

    def test(cell: str) -> bool:
        cell = cell or default
        said = {cell, *(part.strip() for part in cell.split(";"))}
        if column == "colours":
            said = {part.partition(":")[0].strip().lower() for part in said}
        return not said.isdisjoint(by_text) or any(_value(p, True) in by_value for p in said)

    return test


def _value(text: str | int | Decimal, numeric: bool) -> Fraction | None:
    """Return the number that stands for a value; text stands for one in a numeric column only."""
    if not isinstance(text, str):
        return Fraction(text)
    return Fraction(text) if numeric and _NUMBER.fullmatch(text) else None
