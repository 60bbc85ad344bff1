"""Kits compared: what explanations have in common."""

from __future__ import annotations

from fractions import Fraction

from kitsolver.solve.figures import Figures
from kitsolver.solve.outcome import Kit

ComparisonKey = tuple[tuple[Fraction, ...], int, Fraction]


def comparison_key(of: Figures) -> ComparisonKey:
    """Return what kits are compared by: the greater key is of the better kit.

    Its parts are the figures before what is paid, minus what is paid, and the figure after it.
    """
    if of.together is not None:
        return (of.together,), -of.payable, of.quality
    return (of.quality, of.extras), -of.payable, Fraction(0)


def came(kit: Kit, before: Kit) -> tuple[str, ...]:
    """Return the skus of a kit that another does not hold, in the order of its lines."""
    there = {line.sku for line in before.lines}
    return tuple(line.sku for line in kit.lines if line.sku not in there)
