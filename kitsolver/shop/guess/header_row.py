"""Finds the header of a source by its shape: filled cells above rows of one pattern."""

from __future__ import annotations

import re
from collections.abc import Sequence

from kitsolver.shop.guess.words import EXACT, matches

# A header is looked for in this many rows, and compared with this many below it.
MOST_ROWS = 60
_BELOW = 20
# A known header counts as much as this many filled cells.
_KNOWN = 2
_VALUE = re.compile(r"[^\w]*#?[0-9a-fA-F]{6}.*|[^\w]{0,3}[0-9][0-9.,x×*/ :;-]*\W?\w{0,3}|[★⭐]+")


def find_header(rows: Sequence[Sequence[str]]) -> int:
    """Return the place of the header among the first rows of a source.

    Each row gets a point for every cell that may be a header: a text, no number and no colour,
    unlike the others of the row, above a column that is filled below it. It gets more for headers
    that are known, and loses as many for cells that hold values. The first row with most points
    is the header.

    Parameters
    ----------
    rows : sequence of sequences of str
        The first rows as they are, blank ones too.
    """
    first = rows[:MOST_ROWS]
    return max(range(len(first)), key=lambda place: (_points(first, place), -place), default=0)


def _points(rows: Sequence[Sequence[str]], place: int) -> int:
    row = rows[place]
    below = rows[place + 1 : place + 1 + _BELOW]
    points = 0
    seen = set[str]()
    for column, cell in enumerate(row):
        text = cell.strip()
        if not text:
            continue
        if is_value(text) or text.casefold() in seen:
            points -= _KNOWN
            continue
        seen.add(text.casefold())
        if any(column < len(other) and other[column].strip() for other in below):
            points += 1 + _KNOWN * is_known(text)
    return points


def is_value(text: str) -> bool:
    """Tell whether a text is a number, a colour or stars rather than a header."""
    return bool(_VALUE.fullmatch(text))


def is_known(text: str) -> bool:
    """Tell whether a text is a header that shops use."""
    return any(
        found and found[0].score == EXACT
        for found in (matches("columns", text), matches("unused", text))
    )
