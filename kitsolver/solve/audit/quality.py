"""The audit's check of the figures that kits are compared by.

Shares nothing with the solver.
"""

from __future__ import annotations

from fractions import Fraction

from kitsolver.craft.colour import DIFFERENCE_UNIT
from kitsolver.solve.audit.evidence import Evidence, Verdict, number


def quality(seen: Evidence) -> Verdict:
    """Add up the figures, and hold them against those of the kit."""
    quality, extras = figures_of(seen)
    good = (quality, extras) == (seen.claim.quality, seen.claim.extras)
    return good, f"quality {number(quality)} of 100, extras {number(extras)}"


def figures_of(seen: Evidence) -> tuple[Fraction, Fraction]:
    """Return quality and extras of a kit as its rows have them, whatever it says of itself."""
    weighed, weights = Fraction(0), Fraction(0)
    for need in seen.brief.holds:
        if not seen.bought(need):
            continue
        weight = Fraction(seen.brief.need(need).weight)
        weights += weight
        weighed += weight * _scored(seen, need)
    quality = weighed / weights if weights else Fraction(0)
    extras = sum(
        (Fraction(seen.rows[x.sku]["quality"]) for x in seen.claim.lines if x.role == "extra"),
        Fraction(0),
    )
    return quality, extras


def _scored(seen: Evidence, need: str) -> Fraction:
    lines = seen.needed(need)
    if need != "thread" or seen.charted is None:
        return seen.scored(need, seen.rows[lines[0].sku]) if lines else Fraction(100)
    mismatch, points = Fraction(seen.brief.shades.mismatch), Fraction(0)
    for shade in seen.claim.shades:
        own = seen.scored(need, seen.rows[shade.sku]) if shade.sku else Fraction(100)
        left = max(Fraction(0), own - mismatch * Fraction(shade.difference, DIFFERENCE_UNIT))
        points += Fraction(int(left * 100 + Fraction(1, 2)), 100)
    return points / max(1, len(seen.claim.shades))
