"""The figures by which kits are compared, their order, and bounds on them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from kitsolver.brief.brief import Brief
from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.tally import Tally, tally

# What is compared before what is paid, what is not paid, and what is compared after it.
Order = tuple[tuple[Fraction, ...], int, Fraction]


@dataclass(frozen=True)
class Figures:
    """The figures of a kit, or bounds on those of any.

    `together` is the sum of quality and extras where they are weighed together, and else None.
    `payable` is in minor units.
    """

    quality: Fraction
    extras: Fraction
    payable: int
    together: Fraction | None = None

    @property
    def order(self) -> Order:
        """What kits are compared by: more is better, part by part."""
        if self.together is not None:
            return (self.together,), -self.payable, self.quality
        return (self.quality, self.extras), -self.payable, Fraction(0)


def objectives(brief: Brief) -> tuple[str, ...]:
    """Return the names of the figures, in the order of `Figures.order`."""
    if brief.extras.together:
        return "together", "payable", "quality"
    return "quality", "extras", "payable"


def figures(sums: Tally, candidates: Candidates) -> Figures:
    """Return the figures of a selection that was added up."""
    together = sums.combined if candidates.brief.extras.together else None
    return Figures(sums.quality, sums.extras, sums.receipt.payable, together)


def weighed_points(selection: Selection, candidates: Candidates) -> Fraction:
    """Return the first figure that kits are compared by, in weighed points of the model."""
    sums = tally(selection, candidates)
    together = candidates.brief.extras.together
    return (sums.combined if together else sums.quality) * unit_of(candidates)


def bound_by(weighed: Fraction, candidates: Candidates) -> Figures:
    """Return what no kit beats if none has more weighed points than these."""
    outer, most = outer_bound(candidates), weighed / unit_of(candidates)
    if candidates.brief.extras.together:
        return replace(outer, together=most)
    return replace(outer, quality=min(outer.quality, most))


def unit_of(candidates: Candidates) -> int:
    """Return how many weighed points make one of the first figure."""
    if candidates.brief.extras.together:
        return 100 * candidates.parts
    return 100 * max(1, sum(candidates.weights.values()))


def outer_bound(candidates: Candidates) -> Figures:
    """Return figures that no kit can beat, known without a search."""
    top: dict[str, int] = {}
    for extra in candidates.extras:
        top[extra.category] = max(extra.points, top.get(extra.category, 0))
    most = sorted(top.values(), reverse=True)[: candidates.brief.extras.most]
    extras = Fraction(sum(most), 100)
    weights = sum(candidates.weights.values())
    together = None
    if candidates.brief.extras.together:
        sums = Fraction(100 * weights, candidates.parts)
        together = sums + Fraction(candidates.brief.extras.weight) * extras
    return Figures(Fraction(100 if weights else 0), extras, 0, together)
