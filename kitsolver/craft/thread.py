"""How much thread a colour of a chart takes, in skeins."""

from __future__ import annotations

from bisect import bisect_left
from fractions import Fraction
from math import ceil, isqrt
from typing import NamedTuple

from kitsolver.craft.lengths import CM, INCH

# Strands for a stitch by effective count: common practice, no source.
BOUNDS = (8, 11, 14, 16, 18, 22)
STRANDS = (4, 3, 2, 2, 2, 1, 1)

# A skein's length is held in ten-thousandths of a metre of single strand.
SKEIN_UNIT = CM // 100
# Six divisible strands of 8 m: the usual skein (common practice, no source).
USUAL_SKEIN = 8 * 10_000 * 6
# What thread is where nobody says otherwise.
USUAL_KIND = "cotton"


class Charted(NamedTuple):
    """What a chart asks of one colour.

    Parameters
    ----------
    stitches : int or Fraction
        Full crosses; where quarter and half crosses are summed up, a half more.
    kind : str
        The kind of thread.
    strands : int or None
        Strands in the needle; None for as many as are usual.
    backstitch : Fraction
        The length of its lines, in length units; worked in one strand.
    """

    colour: str
    stitches: int | Fraction
    kind: str = USUAL_KIND
    strands: int | None = None
    backstitch: Fraction = Fraction(0)


def strands(count: Fraction) -> int:
    """Return the strands usual at an effective count."""
    return STRANDS[bisect_left(BOUNDS, count)]


def skeins(
    asked: Charted,
    count: Fraction,
    strands: int,
    waste: Fraction,
    skein_length: int,
    sharing: int = 1,
) -> int:
    """Return the skeins of one colour that a pool of `sharing` stitchers needs.

    Parameters
    ----------
    asked : Charted
        What the chart asks of that colour; its own strands are not looked at.
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
    2 (1 + √2) pitches. Backstitch takes its length in front and as much behind. The count of
    skeins is thus a (1 + √2) + b for rational a = p/q and b, and
    ⌈(p + bq + √(2p²)) / q⌉ is had exactly, for 2p² is no square unless p is 0.
    """
    one_upright = Fraction(2 * INCH * asked.stitches * strands * sharing, SKEIN_UNIT) / count
    a = one_upright * (1 + waste) / skein_length
    if not asked.backstitch:
        whole = a.numerator + isqrt(2 * a.numerator**2) + 1
        return -(-whole // a.denominator)
    b = 2 * asked.backstitch * sharing / SKEIN_UNIT * (1 + waste) / skein_length
    if not a:
        return ceil(b)
    below = a.denominator * b.denominator
    p, rest = a.numerator * b.denominator, b.numerator * a.denominator
    return -(-(p + rest + isqrt(2 * p**2) + 1) // below)
