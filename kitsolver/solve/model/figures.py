"""The figures of a kit as the search has them, and what no kit can beat."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from kitsolver.solve.candidates.candidate import Choice
from kitsolver.solve.candidates.candidates import Offers
from kitsolver.solve.outcome import Figures
from kitsolver.solve.tally import Tally, tally


def figures(sums: Tally, offers: Offers) -> Figures:
    """Return the figures of a choice that was added up."""
    together = sums.combined if offers.brief.extras.spend == "together" else None
    return Figures(sums.quality, sums.extras, sums.receipt.payable, together)


def weighed_points(choice: Choice, offers: Offers) -> Fraction:
    """Return the first figure that kits are compared by, in weighed points of the model."""
    sums = tally(choice, offers)
    together = offers.brief.extras.spend == "together"
    return (sums.combined if together else sums.quality) * unit_of(offers)


def bound_by(weighed: Fraction, offers: Offers) -> Figures:
    """Return what no kit beats if none has more weighed points than these."""
    outer, most = outer_bound(offers), weighed / unit_of(offers)
    if offers.brief.extras.spend == "together":
        return replace(outer, together=most)
    return replace(outer, quality=min(outer.quality, most))


def unit_of(offers: Offers) -> int:
    """Return how many weighed points make one of the first figure."""
    if offers.brief.extras.spend == "together":
        return 100 * offers.parts
    return 100 * max(1, sum(offers.weights.values()))


def outer_bound(offers: Offers) -> Figures:
    """Return figures that no kit can beat, known without a search."""
    top: dict[str, int] = {}
    for extra in offers.extras:
        top[extra.category] = max(extra.points, top.get(extra.category, 0))
    most = sorted(top.values(), reverse=True)[: offers.brief.extras.most]
    extras = Fraction(sum(most), 100)
    weights = sum(offers.weights.values())
    together = None
    if offers.brief.extras.spend == "together":
        sums = Fraction(100 * weights, offers.parts)
        together = sums + Fraction(offers.brief.extras.weight) * extras
    return Figures(Fraction(100 if weights else 0), extras, 0, together)
