"""Cells that hold a number, read into whole numbers of fixed units."""

from __future__ import annotations

import re
from dataclasses import dataclass

from kitsolver.shop import catalogue_findings
from kitsolver.shop.cell_faults import LONGEST, Fault, Refused, too_long

_NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+)?")
_NEGATIVE = re.compile(r"[-\u2212] ?[0-9]*[.,]?[0-9]+")
_NOT_FINITE = re.compile(r"[-+]?(?:nan|inf|infinity)", re.IGNORECASE)
_OUT_OF = re.compile(r"[0-9.,]+ ?/ ?([0-9]+)")
# A short word or sign before or behind a number.
_WITH_SIGN = re.compile(
    r"[^\d\s.,+-][^\d]{0,11}[0-9]+[.,]?[0-9]*|[0-9]+[.,]?[0-9]*\s*[^\d\s.,][^\d]{0,11}"
)
_DECIMAL_COMMA = re.compile(r"([0-9]+),([0-9]+)")


@dataclass(frozen=True)
class Number:
    """Reads digits with an optional point into a whole number of fixed units.

    Parameters
    ----------
    most : int
        The greatest number that may be written.
    held : int
        How many of the fixed units make one; a multiple of 10 to the power of `decimals`.
    decimals : int
        How many digits may be written after the point.
    positive : bool
        Whether zero is too small.
    in_currency : str
        The currency that the decimals come from, named in the finding.
    """

    most: int
    held: int = 1
    decimals: int = 0
    positive: bool = True
    in_currency: str = ""

    def __call__(self, cell: str) -> int:
        """Return the number in fixed units.

        Raises
        ------
        Refused
            If `cell` is no such number, or out of bounds.
        """
        if len(cell) > LONGEST:
            raise Refused(too_long(cell))
        if not _NUMBER.fullmatch(cell):
            raise Refused(self._misread(cell))
        whole, _, part = cell.partition(".")
        if len(part) > self.decimals:
            raise Refused(self._too_fine(cell))
        step: int = self.held // 10 ** len(part)
        units = int(whole + part) * step
        if units == 0 and self.positive:
            raise Refused(Fault(catalogue_findings.NumberTooSmall, cell, self._least))
        if units > self.most * self.held:
            raise Refused(Fault(catalogue_findings.NumberTooLarge, cell, f"at most {self.most}"))
        return units

    @property
    def _least(self) -> str:
        if not self.positive:
            return "0 or more"
        return "at least 1" if self.held == 1 else "more than 0"

    def _too_fine(self, cell: str) -> Fault:
        if self.held == 1:
            return Fault(catalogue_findings.NotWhole, cell)
        allowed = self.decimals or "no"
        if self.in_currency:
            return Fault(
                catalogue_findings.TooManyDecimals,
                cell,
                f"{self.in_currency} has {allowed} decimals",
            )
        return Fault(catalogue_findings.TooManyDecimals, cell, f"write at most {allowed} decimals")

    def _misread(self, cell: str) -> Fault:
        if _NOT_FINITE.fullmatch(cell):
            return Fault(catalogue_findings.NotFinite, cell, self._least)
        if _NEGATIVE.fullmatch(cell):
            return Fault(catalogue_findings.NegativeNumber, cell, self._least)
        comma = _DECIMAL_COMMA.fullmatch(cell)
        if comma and len(comma[2]) != 3:
            return Fault(
                catalogue_findings.NotANumber, cell, f"write it with a point: {comma[1]}.{comma[2]}"
            )
        return Fault(catalogue_findings.NotANumber, cell, _mend(cell))


def _mend(cell: str) -> str:
    """Return how a cell is mended that is no number by itself."""
    if found := _OUT_OF.fullmatch(cell):
        return f"write the number alone, or quality_most = {found[1]} in a map of columns"
    if not cell.strip("★☆ "):
        return 'write the number, or stars = "★" in a map of columns'
    if _WITH_SIGN.fullmatch(cell):
        names = "currency_signs or units_in_cells of a map of columns"
        return f"write the number alone, or name what stands beside it in {names}"
    if "," in cell:
        return "write decimals after a point, and nothing between thousands"
    return "write digits with an optional point and nothing else"
