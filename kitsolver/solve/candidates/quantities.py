"""How much of a candidate a kit takes: units of fabric, pools and skeins of thread."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from kitsolver.brief.brief import Brief
from kitsolver.brief.stitching import Fit
from kitsolver.craft import fit as cloth
from kitsolver.craft.cutting import pieces, steps_off
from kitsolver.craft.part_used import FromHome, Surd, serve_pools
from kitsolver.craft.thread import Charted, skeins, strand_length, strands
from kitsolver.solve.candidates.candidate import Chart, Fabric, Place, Thread

Ints = NDArray[np.int64]

# A product of two numbers below this, one of them a quality or difference, stays within 64 bits.
_LARGE = 2**36


def cut_of(chart: Chart, count: Fraction | None, fit: Fit) -> cloth.Size | None:
    """Return the size that one head's piece is cut to; None where chart or count is unknown."""
    if chart.size is None or count is None:
        return None
    return _cut(chart.size, count, fit.margin)


@lru_cache(maxsize=1 << 12)
def _cut(stitches: tuple[int, int], count: Fraction, margin: Fraction) -> cloth.Size:
    """Return what `cut_of` does: every fabric of a count asks for it again."""
    return cloth.cut_size(cloth.finished_size(*stitches, count), margin)


def finished_of(chart: Chart, count: Fraction | None) -> cloth.Size | None:
    """Return the size of the finished design; None where chart or count is unknown."""
    if chart.size is None or count is None:
        return None
    return cloth.finished_size(*chart.size, count)


def fabric_units(chart: Chart, fabric: Fabric, brief: Brief) -> int | None:
    """Return the units of fabric that give every head a piece; None where the design does not fit.

    Where the size of the design on the fabric is unknown, each head gets a unit, or the smallest
    cut off the roll. A unit off the roll is one step.
    """
    size = cut_of(chart, fabric.count, brief.fit)
    if fabric.roll is not None:
        if size is None:
            return brief.kits * fabric.roll.least
        return steps_off(fabric.roll, size, brief.kits)
    if size is None or fabric.size is None:
        return brief.kits
    yielded = pieces(size, fabric.size, brief.kits)
    if yielded == 0 or (not fabric.sku and yielded < brief.kits):
        return None
    return -(-brief.kits // yielded)


def uncut_size(chart: Chart, fabric: Fabric, brief: Brief) -> cloth.Size | None:
    """Return the size of the fabric as it is bought; None where unknown."""
    if fabric.roll is None:
        return fabric.size
    if cut_of(chart, fabric.count, brief.fit) is None:
        return fabric.roll.length(fabric.roll.least)
    return fabric.roll.length(fabric_units(chart, fabric, brief) or fabric.roll.least)


def piece_worked_on(chart: Chart, fabric: Fabric, brief: Brief) -> cloth.Size | None:
    """Return the size of the piece that one head works on; None where unknown.

    One head works on the uncut fabric, several on cuts. Where the chart is unknown, each of them
    gets an uncut unit of a fabric that is bought.
    """
    whole = brief.kits == 1 or (chart.size is None and fabric.sku)
    return uncut_size(chart, fabric, brief) if whole else cut_of(chart, fabric.count, brief.fit)


def pools(brief: Brief) -> tuple[int, int]:
    """Return how many pools of thread there are, and how many heads share one."""
    sharing = min(brief.need("thread").shared_by, brief.kits)
    return -(-brief.kits // sharing), sharing


def skeins_a_pool(asked: Charted, count: Fraction | None, skein_length: int, brief: Brief) -> int:
    """Return the skeins of one colour in one pool; 1 where the effective count is unknown."""
    if count is None:
        return 1
    plies = brief.fit.strands or asked.strands or strands(count)
    _, sharing = pools(brief)
    return skeins(asked, count, plies, brief.fit.exact_waste, skein_length, sharing)


def skeins_of(place: Place, asked: Charted, count: Fraction | None, brief: Brief) -> int:
    """Return the skeins that a place takes in each pool for a chart colour."""
    return skeins_a_pool(asked, count, place.thread.skein_length, brief)


def thread_units(thread: Thread, asked: Charted, count: Fraction | None, brief: Brief) -> int:
    """Return the units of a thread row that all pools take for a chart colour.

    Of a single thread these are the skeins bought, of a pack the packs that the colour needs, those
    at home among them. Shades that a need has at home take none.
    """
    if not thread.sku:
        return 0
    if thread.home_length:
        return served_from_home(thread, asked, count, brief).bought
    number, _ = pools(brief)
    return number * skeins_a_pool(asked, count, thread.skein_length, brief)


def served_from_home(
    thread: Thread, asked: Charted, count: Fraction | None, brief: Brief
) -> FromHome:
    """Return how the pools of a chart colour are served by a single thread of the home list.

    Where the effective count is unknown a pool needs a skein. Lengths are those of `Thread`.
    """
    number, sharing = pools(brief)
    need = Surd(Fraction(thread.skein_length))
    if count is not None:
        plies = brief.fit.strands or asked.strands or strands(count)
        waste = brief.fit.exact_waste
        crosses, lines = strand_length(asked, count, plies * sharing, waste, sharing)
        need = Surd(crosses + lines, crosses)
    return serve_pools(need, thread.skein_length, number, thread.home_length)


def place_points(quality: Ints, difference: Ints, mismatch: Fraction) -> Ints:
    """Return the points of thread places, in hundredths, rounded half up.

    Parameters
    ----------
    quality : array of int
        Of the places' rows, in hundredths.
    difference : array of int
        Between charted and thread colour, in ten-thousandths.
    mismatch : Fraction
        Quality points lost per unit of difference.
    """
    per, unit = mismatch.numerator, 100 * mismatch.denominator
    if max(per, unit) >= _LARGE:
        quality, difference = quality.astype(object), difference.astype(object)
    points = (2 * (unit * quality - per * difference) + unit) // (2 * unit)
    return np.asarray(np.maximum(0, points), dtype=np.int64)
