"""Looks at all distinct texts of a column at once, and returns which are right as they stand.

Reading a hundred thousand names or GTINs one by one would take as long as reading the file. The
texts that are not found right here are read one by one by `kitsolver.shop.columns.cells`, which
says what is wrong with them.
"""

from __future__ import annotations

from itertools import repeat

import numpy as np
import numpy.typing as npt

from kitsolver.shop.cell_faults import LONGEST
from kitsolver.shop.columns.cells import FORMULA_LEADS, GTIN_DIGITS

_Mask = npt.NDArray[np.bool_]

# GS1 General Specifications, 7.9.1: from the right, the check digit itself included.
_WEIGHTS = np.array((3, 1) * (max(GTIN_DIGITS) // 2))


def lines(texts: list[str]) -> _Mask:
    """Return which texts are short, not blank and without control characters."""
    lengths = _lengths(texts)
    printable = np.fromiter(map(str.isprintable, texts), dtype=bool, count=len(texts))
    printable &= (lengths > 0) & (lengths <= LONGEST)
    return printable


def gtins(texts: list[str]) -> _Mask:
    """Return which texts are GTINs with the right check digit."""
    widest = max(GTIN_DIGITS)
    padded = np.array([text[:widest].zfill(widest) for text in texts], dtype=f"U{widest}")
    digits = padded.view(np.uint32).reshape(len(texts), widest) - np.uint32(ord("0"))
    right = (digits <= 9).all(axis=1)
    right &= np.isin(_lengths(texts), GTIN_DIGITS)
    right &= digits @ _WEIGHTS % 10 == 0
    return right


def formulas(texts: list[str]) -> _Mask:
    """Return which texts begin as a formula does."""
    begin = map(str.startswith, texts, repeat(FORMULA_LEADS))
    return np.fromiter(begin, dtype=bool, count=len(texts))


def _lengths(texts: list[str]) -> npt.NDArray[np.int64]:
    return np.fromiter(map(len, texts), dtype=np.int64, count=len(texts))
