"""Every row meets the conditions that the brief sets for it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from decimal import Decimal
from fractions import Fraction
from functools import cache
from math import ceil, floor

import numpy as np
import pandas as pd

from kitsolver.brief.conditions import Conditions, WholeKit
from kitsolver.craft.thread import USUAL_KIND
from kitsolver.shop.catalogue import UNLIMITED
from kitsolver.shop.columns import NUMERIC, columns
from kitsolver.shop.money import MOST_DECIMALS
from kitsolver.solve.rules.rule import Mask, Rows, Rule

_NUMBER = re.compile(r"[0-9]+(\.[0-9]+)?")


class RowConditions(Rule):
    """The conditions of a need's or an extra's table, and those for the whole kit."""

    name = "conditions"
    sentence = "Every row meets the conditions that the brief sets for it."

    def admits(self, rows: Rows) -> Mask:
        """Bar rows that miss a condition."""
        met = meeting(rows.shelf, rows.text, rows.brief.conditions(rows.category))
        return met & carrying(rows.shelf, rows.text, rows.brief.all)


def meeting(shelf: pd.DataFrame, text: pd.DataFrame, asked: Conditions) -> Mask:
    """Return which rows of a shelf meet every condition.

    Parameters
    ----------
    shelf : pandas.DataFrame
        Rows of one category in whole units.
    text : pandas.DataFrame
        The catalogue as written, indexed like the shelf.
    asked : Conditions
        Price and quality are held against the row's own.
    """
    good = np.ones(len(shelf), dtype=bool)
    if asked.max_price is not None:
        good &= (shelf["price"] <= floor(asked.max_price * 10**MOST_DECIMALS)).to_numpy()
    if asked.min_quality is not None:
        good &= (shelf["quality"] >= ceil(asked.min_quality * 100)).to_numpy()
    some, none = asked.tags_any, asked.tags_none
    if some:
        good &= _holding(shelf, text, "tags", lambda cell: not tags(cell).isdisjoint(some))
    if none:
        good &= _holding(shelf, text, "tags", lambda cell: tags(cell).isdisjoint(none))
    for column, allowed in asked.only.items():
        good &= _holding(shelf, text, column, _allows(column, allowed))
    return good


def carrying(shelf: pd.DataFrame, text: pd.DataFrame, asked: WholeKit) -> Mask:
    """Return which rows of a shelf meet the conditions for the whole kit."""
    barred, needed = set(asked.tags_none), set(asked.tags_all)
    if not (barred or needed):
        return np.ones(len(shelf), dtype=bool)

    def holds(cell: str) -> bool:
        return needed <= (words := tags(cell)) and words.isdisjoint(barred)

    return _holding(shelf, text, "tags", holds)


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
    numbers = {
        column.name: str(column.blank // getattr(column.reads, "held", 1))
        for column in columns()
        if isinstance(column.blank, int) and 0 < column.blank < UNLIMITED
    }
    return numbers | {"kind": USUAL_KIND, "download": "no", "sold_by": "unit"}
