"""Rows that sum others up: exports have them among the goods, or below them."""

from __future__ import annotations

import re
from collections.abc import Iterable

# What such a row says, in the languages whose exports are known (common practice, no source).
_WORDS = (
    *("total", "totals", "grand total", "subtotal", "sub total", "sum", "sums"),
    *("summe", "gesamt", "gesamtsumme", "zwischensumme", "endsumme", "insgesamt"),
    *("somme", "total général", "sous-total", "totaal", "eindtotaal", "subtotaal"),
    *("suma", "total general", "totale", "totale generale", "somma", "subtotale"),
)
_TOTAL = re.compile(rf"(?:{'|'.join(_WORDS)})(?:\s*:.{{0,40}}|\s.{{0,40}})?", re.IGNORECASE)
# Columns that goods fill, and of which a row of totals leaves one blank.
LEFT_BLANK = ("sku", "name")


def is_total(text: str) -> bool:
    """Tell whether a trimmed text is what stands in a row of totals."""
    return bool(_TOTAL.fullmatch(text))


def total_among(cells: Iterable[str]) -> int | None:
    """Return the place of the cell that makes a row one of totals, if there is one."""
    return next((place for place, cell in enumerate(cells) if is_total(cell.strip())), None)
