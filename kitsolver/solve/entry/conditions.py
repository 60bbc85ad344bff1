"""The conditions a brief sets for a need, held against rows by column."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from decimal import Decimal
from fractions import Fraction
from functools import cache
from math import ceil, floor

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from kitsolver.brief.asked import Need
from kitsolver.shop.catalogue import UNLIMITED
from kitsolver.shop.columns import NUMERIC, columns
from kitsolver.shop.money import MOST_DECIMALS

Mask = NDArray[np.bool_]
_NUMBER = re.compile(r"[0-9]+(\.[0-9]+)?")


def meeting(shelf: pd.DataFrame, text: pd.DataFrame, need: Need) -> Mask:
    """Return which rows of a shelf meet every condition of a need.

    Parameters
    ----------
    shelf : pandas.DataFrame
        Rows of one category in whole units.
    text : pandas.DataFrame
        The catalogue as written, indexed like the shelf.
    need : Need
        The conditions; price and quality are held against the row's own.
    """
    good = np.ones(len(shelf), dtype=bool)
    if need.max_price is not None:
        good &= (shelf["price"] <= floor(need.max_price * 10**MOST_DECIMALS)).to_numpy()
    if need.min_quality is not None:
        good &= (shelf["quality"] >= ceil(need.min_quality * 100)).to_numpy()
    if need.tags_any:
        good &= _holding(shelf, text, "tags", lambda cell: not tags(cell).isdisjoint(need.tags_any))
    if need.tags_none:
        good &= _holding(shelf, text, "tags", lambda cell: tags(cell).isdisjoint(need.tags_none))
    for column, allowed in need.only.items():
        good &= _holding(shelf, text, column, _allows(column, allowed))
    return good


def tags(cell: str) -> frozenset[str]:
    """Return the words of a cell of tags."""
    return frozenset(word.strip() for word in cell.split(";") if word.strip())


def _holding(
    shelf: pd.DataFrame, text: pd.DataFrame, column: str, test: Callable[[str], bool]
) -> Mask:
    """Return which rows' cells pass a test, which is asked once for each distinct cell."""
    if column not in text.columns:
        return np.full(len(shelf), test(""), dtype=bool)
    codes, cells = pd.factorize(text.loc[shelf.index, column])
    return np.array([test(str(cell)) for cell in cells], dtype=bool)[codes]


def _allows(column: str, allowed: Iterable[str | int | Decimal]) -> Callable[[str], bool]:
    numeric = column in NUMERIC or column == "needle_sizes"
    by_value = {n for n in (_value(a, numeric) for a in allowed) if n is not None}
    by_text = {a.lower() if column == "colours" else a for a in allowed if isinstance(a, str)}

    def test(cell: str) -> bool:
        cell = cell or blank_values().get(column, "")
        parts = {cell, *(part.strip() for part in cell.split(";"))}
        if column == "colours":
            parts = {part.partition(":")[0].strip().lower() for part in parts}
        return not parts.isdisjoint(by_text) or any(_value(p, True) in by_value for p in parts)

    return test


def _value(text: str | int | Decimal, numeric: bool) -> Fraction | None:
    """Return the number that stands for a value; text stands for one in a numeric column only."""
    if not isinstance(text, str):
        return Fraction(text)
    return Fraction(text) if numeric and _NUMBER.fullmatch(text) else None


@cache
def blank_values() -> dict[str, str]:
    """Return what a blank cell stands for, by column."""
    return {
        column.name: str(column.blank // getattr(column.reads, "held", 1))
        for column in columns()
        if isinstance(column.blank, int) and 0 < column.blank < UNLIMITED
    }
