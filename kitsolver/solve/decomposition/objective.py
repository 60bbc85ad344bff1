"""How the figures of a kit become one whole number, so that frontiers can carry them."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from kitsolver.solve.candidates.candidates import Candidates

# Scores are whole numbers of this fraction of a weighed point, so that multipliers are whole, too.
SCORE_UNIT = 1024

_LARGE = 2**61
_MOST_POINTS = 100_00


class Objective(NamedTuple):
    """How the figures become one whole number, the first counting before the second.

    Parameters
    ----------
    times : int
        The colours of the chart: its figures are multiplied by these, and so are whole numbers.
    together : bool
        Whether the first figure is quality and extras weighed together, and the second quality;
        else they are quality and extras.
    share : int
        What a point of an extra weighs in the first figure, where it does.
    base : int
        More than the second figure can be.
    large : bool
        Whether worths or scores may leave 64 bits.
    only_money : bool
        Whether nothing counts in the first figure, so that kits differ by money alone.
    """

    times: int
    together: bool
    share: int
    base: int
    large: bool
    only_money: bool

    def worth_of_need(self, weighed: int) -> int:
        """Return what the weighed points of a need, times the colours, are worth."""
        return weighed * self.base + (weighed if self.together else 0)

    def worth_of_extra(self, points: int) -> int:
        """Return what the points of an extra are worth."""
        return self.times * self.share * points * self.base if self.together else points

    def first(self, worth: int) -> Fraction:
        """Return the first figure in weighed points."""
        return Fraction(worth // self.base, self.times)

    def before_payable(self, worth: int, common: int) -> tuple[int, ...]:
        """Return what counts before what is paid, for charts whose colours divide `common`."""
        first, second = divmod(worth, self.base)
        whole = first * (common // self.times)
        return (whole,) if self.together else (whole, second)

    def figures(self, worth: int) -> tuple[tuple[Fraction, ...], Fraction]:
        """Return what counts before what is paid, and what counts after it."""
        first, second = self.first(worth), worth % self.base
        # Quality is multiplied by the colours; extras by themselves are not.
        if self.together:
            return (first,), Fraction(second, self.times)
        return (first, Fraction(second)), Fraction(0)


def objective_of(candidates: Candidates) -> Objective:
    """Return what worths mean for a chart."""
    times = max(1, len(candidates.charts[0].shades or ())) if candidates.matches_thread else 1
    most = len({extra.category for extra in candidates.extras}) * _MOST_POINTS
    first = times * sum(candidates.weights.values()) * _MOST_POINTS
    together, share, base = candidates.brief.extras.together, 0, most + 1
    if together:
        share = int(Fraction(candidates.brief.extras.weight) * candidates.parts)
        base = first + 1
        first += times * share * most
    return Objective(
        times,
        together,
        share,
        base,
        large=(first + 1) * max(base, SCORE_UNIT) >= _LARGE,
        only_money=not (
            any(candidates.weights.values())
            or (share and any(extra.points for extra in candidates.extras))
        ),
    )
