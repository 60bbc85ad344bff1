"""Lengths in whole units, so that touching exactly is seen as touching exactly.

The unit is a tenth of a nanometre: the coarsest decimal one in which a millionth of a centimetre
and a millionth of an inch are both whole. One inch is 25.4 mm exactly (international yard and
pound agreement, 1 July 1959).
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from math import floor

CM = 100_000_000
INCH = 254_000_000

# As many decimals as a length may have in either unit and still be whole.
MOST_DECIMALS = 6


def to_units(length: Decimal | int, unit: int) -> int:
    """Return a length given in `unit` (`CM` or `INCH`) in whole units.

    Raises
    ------
    ValueError
        If `length` has more than `MOST_DECIMALS` decimals.
    """
    units = Fraction(length) * unit
    if units.denominator != 1:
        raise ValueError(length)
    return units.numerator


def rounded(length: Fraction | int, unit: int = CM, decimals: int = 2) -> Decimal:
    """Return a length of whole or broken units in `unit`, rounded half up."""
    scaled = floor(Fraction(length) / unit * 10**decimals + Fraction(1, 2))
    return Decimal(scaled).scaleb(-decimals).quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)
