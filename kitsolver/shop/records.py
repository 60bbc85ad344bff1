"""The well-formed rows of a CSV file, column by column."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pandas as pd

from kitsolver.shop import catalogue_findings
from kitsolver.shop.csv_source import Source
from kitsolver.shop.findings import BadInput, Finding


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
    """The well-formed rows of a file.

    Parameters
    ----------
    header : tuple of str
        The trimmed names of the columns, in the file's order.
    header_row : int
        The row that holds them.
    rows : numpy.ndarray
        For each row its number in the file.
    columns : dict of str to Coded
        By name; of several columns with one name the first.
    findings : tuple of Finding
        One for each row with too few or too many cells. Such rows are left out.
    """

    header: tuple[str, ...]
    header_row: int
    rows: npt.NDArray[np.int64]
    columns: dict[str, Coded] = field(repr=False)
    findings: tuple[Finding, ...]


def read_records(path: Path, name: str) -> Records:
    """Read the CSV file at `path`, called `name` in findings.

    Raises
    ------
    BadInput
        If it is no readable CSV in UTF-8, or is empty.
    """
    try:
        with path.open(encoding="utf-8-sig", errors="surrogateescape", newline="") as file:
            source = Source(file, name)
            # The stubs ask for a whole file object; pandas asks for `read` and `__iter__`.
            cells: pd.DataFrame = pd.read_csv(  # type: ignore[call-overload]
                source, dtype=object, na_filter=False, index_col=False
            )
    except FileNotFoundError:
        raise BadInput([catalogue_findings.FileMissing(file=name)]) from None
    except IsADirectoryError:
        raise BadInput([catalogue_findings.FileIsFolder(file=name)]) from None
    except OSError as error:
        reason = error.strerror or str(error)
        raise BadInput([catalogue_findings.FileUnreadable(file=name, detail=reason)]) from None
    columns: dict[str, Coded] = {}
    for place, column in enumerate(source.header):
        if column not in columns:
            columns[column] = Coded.of(cells.iloc[:, place].to_numpy())
    return Records(
        header=source.header,
        header_row=source.header_row,
        rows=np.array(source.rows, dtype=np.int64),
        columns=columns,
        findings=tuple(source.findings),
    )
