"""How much thread a colour of a chart takes, in skeins."""

from __future__ import annotations

from bisect import bisect_left
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from math import ceil, isqrt
from typing import NamedTuple

from kitsolver.craft.lengths import CM, INCH

# Strands for a stitch by effective count: common practice, no source.
BOUNDS = (8, 11, 14, 16, 18, 22)
STRANDS = (4, 3, 2, 2, 2, 1, 1)

# A skein's length is held in ten-thousandths of a metre of single strand.
SKEIN_UNIT = CM // 100
# Six divisible strands of 8 m: the usual skein (common practice, no source).
USUAL_PLIES = 6
USUAL_SKEIN = 8 * 10_000 * USUAL_PLIES
# What thread is where nobody says otherwise.
USUAL_KIND = "cotton"
# The backstitch of most colours, which is told by its identity where there are very many.
NO_LINES = Fraction(0)


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
    backstitch: Fraction = NO_LINES


@lru_cache(maxsize=1 << 8)
def strands(count: Fraction) -> int:
    """Return the strands usual at an effective count."""
    return STRANDS[bisect_left(BOUNDS, count)]


@lru_cache(maxsize=1 << 14)
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
    The length is a (1 + √2) + b for rational a and b, see `strand_length`.
    """
    a, b = strand_length(asked, count, strands * sharing, waste, sharing)
    return _rounded_up(a / skein_length, b / skein_length)


def metres_off_skein(
    asked: Charted, count: Fraction, strands: int, waste: Fraction, plies: int
) -> Decimal:
    """Return the metres of skein that one stitcher needs of a colour, rounded up to 0.01.

    Parameters
    ----------
    asked, count, strands, waste
        As for `skeins`.
    plies : int
        Strands that lie side by side in the skein: a metre of it has so many metres of strand.
    """
    a, b = strand_length(asked, count, strands, waste)
    # Ten-thousandths of a metre to hundredths.
    return Decimal(_rounded_up(a / (100 * plies), b / (100 * plies))).scaleb(-2)


def strand_length(
    asked: Charted, count: Fraction, strands: int, waste: Fraction, sharing: int = 1
) -> tuple[Fraction, Fraction]:
    """Return a and b of the single strand a (1 + √2) + b that a colour takes, with waste.

    In ten-thousandths of a metre. A full cross takes two diagonals in front and, worked in rows,
    two uprights behind: 2 (1 + √2) times the stitch pitch. Backstitch takes its length in front and
    as much behind, in one strand.
    """
    crosses = Fraction(2 * INCH * asked.stitches * strands, SKEIN_UNIT) / count
    lines = Fraction(2 * asked.backstitch * sharing, SKEIN_UNIT)
    return crosses * (1 + waste), lines * (1 + waste)


def _rounded_up(a: Fraction, b: Fraction) -> int:
    """Return a (1 + √2) + b rounded up, exactly.

    With a common denominator q the sum is (p + r + √(2p²)) / q, and 2p² is no square unless p is 0.
    """
    if not a:
        return ceil(b)
    p, r, q = a.numerator * b.denominator, b.numerator * a.denominator, a.denominator
    return -(-(p + r + isqrt(2 * p**2) + 1) // (q * b.denominator))
