"""How part-used skeins at home serve the pools of one colour, exactly.

Each pool needs the same length. A pool is served by whole skeins but for its last one, of which it
needs only a part: the lengths at home first replace these last skeins, as many as they can, and
then whole ones.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from math import isqrt
from typing import NamedTuple


class Surd(NamedTuple):
    """The number `rational` + `root` × √2."""

    rational: Fraction
    root: Fraction = Fraction(0)

    def floor(self) -> int:
        """Return the number rounded down, exactly."""
        shared = self.rational.denominator * self.root.denominator
        whole = self.rational.numerator * self.root.denominator
        square = 2 * (self.root.numerator * self.rational.denominator) ** 2
        # The root of 2n² is no whole number unless n is 0.
        part = -isqrt(square) - 1 if self.root < 0 else isqrt(square)
        return (whole + part) // shared

    def ceil(self) -> int:
        """Return the number rounded up, exactly."""
        return -Surd(-self.rational, -self.root).floor()

    def times(self, factor: Fraction | int) -> Surd:
        """Return the number times another."""
        return Surd(self.rational * factor, self.root * factor)

    def plus(self, other: Fraction | int) -> Surd:
        """Return the number plus another."""
        return Surd(self.rational + other, self.root)

    def times_within(self, whole: int) -> int:
        """Return how many times the number, which is above zero, goes into another."""
        # 1 / (r + s√2) = (r - s√2) / (r² - 2s²)
        norm = self.rational**2 - 2 * self.root**2
        return Surd(whole * self.rational / norm, -whole * self.root / norm).floor()


class FromHome(NamedTuple):
    """How the pools of one colour are served.

    Parameters
    ----------
    bought : int
        Skeins bought, over all pools.
    used : Surd
        What is taken of the lengths at home, in their unit.
    """

    bought: int
    used: Surd


def serve_pools(length: Surd, skein: int, pools: int, home: int) -> FromHome:
    """Return the fewest skeins to buy where some thread of the colour is at home.

    Parameters
    ----------
    length : Surd
        What each pool needs, above zero.
    skein : int
        What a skein holds.
    pools : int
        How many pools there are.
    home : int
        What is at home over all skeins; all lengths are in one unit.
    """
    skeins = Surd(length.rational / skein, length.root / skein).ceil()
    last = length.plus(-(skeins - 1) * skein)
    parts = min(pools, last.times_within(home))
    whole = 0
    if parts == pools:
        left = last.times(-pools).plus(home)
        whole = min(pools * (skeins - 1), left.times(Fraction(1, skein)).floor())
    used = last.times(parts).plus(whole * skein)
    return FromHome(pools * skeins - parts - whole, used)


def hundredths(strand: Surd, plies: int) -> Decimal:
    """Return the metres of full thread of a length of single strand, to 0.01, half up.

    Parameters
    ----------
    strand : Surd
        In ten-thousandths of a metre.
    plies : int
        Strands that lie side by side in the thread.
    """
    metres = strand.times(Fraction(1, 100 * plies)).plus(Fraction(1, 2))
    return Decimal(metres.floor()).scaleb(-2)
