"""How large a design finishes, and whether a piece of fabric takes it."""

from __future__ import annotations

from fractions import Fraction
from math import floor
from typing import NamedTuple

from kitsolver.craft.lengths import CM, INCH

# What the ring of a hoop grips on each side (common practice, no source).
HOOP_GRIP = 5 * CM // 2


class Size(NamedTuple):
    """Width and height in length units, whole or broken."""

    width: Fraction
    height: Fraction

    @property
    def turned(self) -> Size:
        """The same size turned by a quarter."""
        return Size(self.height, self.width)


def effective_count(weave: str, count: Fraction, over: int) -> Fraction:
    """Return stitches per inch: the count on aida, the count over `over` threads otherwise."""
    return count if weave == "aida" else count / over


def finished_size(stitches_wide: int, stitches_high: int, count: Fraction) -> Size:
    """Return the size of the stitched design at an effective count, in length units."""
    return Size(stitches_wide * INCH / count, stitches_high * INCH / count)


def cut_size(finished: Size, margin: Fraction) -> Size:
    """Return the finished size with a margin of bare fabric on each side."""
    return Size(finished.width + 2 * margin, finished.height + 2 * margin)


def within(inner: Size, outer: Size) -> bool:
    """Tell whether `inner`, as it lies, is within `outer`; touching exactly counts."""
    return inner.width <= outer.width and inner.height <= outer.height


def fits(cut: Size, fabric: Size) -> bool:
    """Tell whether a cut is within a fabric, either way round."""
    return within(cut, fabric) or within(cut.turned, fabric)


def must_turn(cut: Size, fabric: Size) -> bool:
    """Tell whether a cut is within a fabric only when turned."""
    return not within(cut, fabric) and within(cut.turned, fabric)


def repeats(finished: Size, margin: Fraction, fabric: Size) -> int:
    """Return how often a design can be stitched on the uncut piece, neighbours sharing a margin.

    Along one side, k designs and k + 1 margins must be within it.
    """

    def along(side: Fraction, design: Fraction) -> int:
        return max(0, floor((side - margin) / (design + margin)))

    return max(
        along(fabric.width, way.width) * along(fabric.height, way.height)
        for way in (finished, finished.turned)
    )


def widest_hoop(piece: Size) -> Fraction:
    """Return the greatest diameter that, with 2.5 cm around it, is within a piece both ways."""
    return min(piece) - 2 * HOOP_GRIP


def hoop_fits(diameter: Fraction, piece: Size) -> bool:
    """Tell whether a hoop with 2.5 cm around it is within a piece both ways."""
    return diameter <= widest_hoop(piece)
