"""How much thread a colour of a chart takes, in skeins."""

from __future__ import annotations

from bisect import bisect_left
from fractions import Fraction
from math import isqrt

from kitsolver.craft.lengths import CM, INCH

# Strands for a stitch by effective count: common practice, no source.
BOUNDS = (8, 11, 14, 16, 18, 22)
STRANDS = (4, 3, 2, 2, 2, 1, 1)

# A skein's length is held in ten-thousandths of a metre of single strand.
SKEIN_UNIT = CM // 100
# Six divisible strands of 8 m: the usual skein (common practice, no source).
USUAL_SKEIN = 8 * 10_000 * 6


def strands(count: Fraction) -> int:
    """Return the strands usual at an effective count."""
    return STRANDS[bisect_left(BOUNDS, count)]


def skeins(
    stitches: int,
    count: Fraction,
    strands: int,
    waste: Fraction,
    skein_length: int,
    sharing: int = 1,
) -> int:
    """Return the skeins of one colour that a pool of `sharing` stitchers needs.

    Parameters
    ----------
    stitches : int
        Full crosses of that colour in the chart.
    count : Fraction
        Effective count, stitches per inch.
    strands : int
        Strands in the needle.
    waste : Fraction
        Share of thread lost to starts, ends and mistakes, added on top.
    skein_length : int
        Single strand in a skein, in ten-thousandths of a metre.
    sharing : int
        Stitchers who work from one pool.

    Notes
    -----
    A full cross takes two diagonals in front and, worked in rows, two uprights behind:
    2 (1 + √2) pitches. The count of skeins is thus a (1 + √2) for a rational a = p/q, and
    ⌈(p + √(2p²)) / q⌉ is had exactly, for 2p² is never a square.
    """
    one_upright = Fraction(2 * INCH * stitches * strands * sharing, SKEIN_UNIT) / count
    a = one_upright * (1 + waste) / skein_length
    whole = a.numerator + isqrt(2 * a.numerator**2) + 1
    return -(-whole // a.denominator)
