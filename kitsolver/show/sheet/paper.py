"""How a sheet is wished: what it shows, on which paper, and for which language."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from kitsolver.shop.catalogue import Catalogue
from kitsolver.show.sheet.locale_style import LocaleStyle

Size = Literal["A4", "letter"]
# The column of a place where goods lie, if nobody named another.
SHELF = "shelf"


@dataclass(frozen=True)
class Paper:
    """How a sheet is wished.

    Parameters
    ----------
    catalogue : Catalogue, optional
        The shop's: for the sizes of goods, the places where they lie and what is in stock.
    full : bool
        Whether the customer's sheet also shows the ladder and every check.
    shelf : str
        The shop's column that says where goods lie; if there is no ``shelf``, the first column
        whose header means a place.
    style : LocaleStyle
        How numbers and dates are written.
    day : date, optional
        What the sheet is dated; without it there is room for a date.
    size : str
        Of the paper that a card is folded from.
    """

    catalogue: Catalogue | None = None
    full: bool = False
    shelf: str = SHELF
    style: LocaleStyle = field(default_factory=LocaleStyle)
    day: date | None = None
    size: Size = "A4"
