"""Which tapestry needle sizes suit an effective count.

The table is common practice, no source; sources differ, hence the brief may override it.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping
from fractions import Fraction

# Upper bound of the effective count, and the sizes that suit up to it; the last has no bound.
BOUNDS = (8, 11, 14, 16, 18, 22)
SIZES = (
    frozenset({18, 20, 22}),
    frozenset({22, 24}),
    frozenset({24, 26}),
    frozenset({24, 26}),
    frozenset({26, 28}),
    frozenset({26, 28}),
    frozenset({28}),
)


def suiting(
    count: Fraction, instead: Mapping[Fraction, frozenset[int]] | None = None
) -> frozenset[int]:
    """Return the needle sizes that suit an effective count.

    Parameters
    ----------
    count : Fraction
        Stitches per inch.
    instead : mapping of Fraction to frozenset of int, optional
        Sizes that replace the table's at these effective counts.
    """
    if instead and count in instead:
        return instead[count]
    return SIZES[bisect_left(BOUNDS, count)]
