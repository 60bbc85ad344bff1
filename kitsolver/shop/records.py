"""The well-formed rows of a source, column by column."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt
import pandas as pd

from kitsolver.shop.findings import Finding
from kitsolver.shop.skipped import Skipped


@dataclass(frozen=True)
class Coded:
    """A column, as numbers into its distinct texts: each is judged and converted only once.

    Parameters
    ----------
    codes : numpy.ndarray
        For each row the place of its text.
    texts : numpy.ndarray
        The distinct texts, trimmed.
    """

    codes: npt.NDArray[np.int32]
    texts: npt.NDArray[np.object_]

    @classmethod
    def of(cls, cells: npt.NDArray[np.object_]) -> Coded:
        """Return the column of these cells."""
        codes, raw = pd.factorize(cells)
        texts = np.empty_like(raw)
        texts[:] = [text.strip() for text in raw]
        if (texts != raw).any():
            again, texts = pd.factorize(texts)
            codes = again[codes]
        return cls(codes.astype(np.int32), texts)

    def filled(self) -> npt.NDArray[np.bool_]:
        """Return for each row whether its cell is not blank."""
        filled: npt.NDArray[np.bool_] = (self.texts != "")[self.codes]
        return filled


@dataclass(frozen=True)
class Records:
    """The well-formed rows of a source.

    Parameters
    ----------
    header : tuple of str
        The trimmed names of the columns, in the source's order.
    header_row : int
        The row that holds them; 0 where the source has names for its columns.
    rows : numpy.ndarray
        For each row its number in the source.
    columns : dict of str to Coded
        By name; of several columns with one name the first.
    findings : tuple of Finding
        What is wrong with rows that are left out: too few or too many cells, unreadable ones.
    content : bytes, optional
        The bytes of the source, where it is a CSV file and they are asked for.
    skipped : tuple of Skipped
        The rows that the map of columns passes over, by category.
    passed_over : mapping of str to int
        For the sku of each of them the number of its row.
    """

    header: tuple[str, ...]
    header_row: int
    rows: npt.NDArray[np.int64]
    columns: dict[str, Coded] = field(repr=False)
    findings: tuple[Finding, ...]
    content: bytes | None = field(default=None, repr=False)
    skipped: tuple[Skipped, ...] = ()
    passed_over: Mapping[str, int] = field(default_factory=dict, repr=False)
