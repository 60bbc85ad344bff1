"""The best kit chart by chart: the same answer as the one model, the fast way.

The chart is what ties the rest together. Every chart has a ceiling (``ceiling.py``); charts are
opened from the highest ceiling down (``opened.py``) until no ceiling left reaches the best first
figure found. Charts that reach it go through all figures.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from contextlib import suppress
from dataclasses import replace
from fractions import Fraction
from typing import Any, NamedTuple

import numpy as np

from kitsolver.solve.decomposition.upper_bound import floors
from kitsolver.solve.decomposition.subproblems import Charts, with_chart
from kitsolver.solve.decomposition.chart_frontier import Step, opened, winner
from kitsolver.solve.decomposition.frontier import TooTangled
from kitsolver.solve.candidates.candidate import Choice
from kitsolver.solve.candidates.candidates import Offers
from kitsolver.solve.model.questions import best, cheapest, peak
from kitsolver.solve.model.figures import bound_by, figures, unit_of, weighed_points
from kitsolver.solve.model.kit_model import NO_CAP
from kitsolver.solve.model.lexicographic import Found, Progress
from kitsolver.solve.model.solver import Clock, OutOfTime, Solver
from kitsolver.solve.tally import tally


def by_chart(
    offers: Offers,
    solver: Solver = Solver.SCIP,
    clock: Clock | None = None,
    progress: Progress | None = None,
    *,
    staircases: bool = True,
    charts: Charts | None = None,
    but: Collection[str] = (),
) -> Found | None:
    """Return the proven best choice, or the best found in time; None if there is none.

    Parameters
    ----------
    staircases : bool
        Whether charts are opened by staircases where these are the fast way; else each is a model
        for the solver.
    charts : Charts, optional
        Of the same offers, if something is known of them already.
    but : collection of str
        Skus of charts that are passed over.

    Raises
    ------
    OutOfTime, SolverFault
        As `kitsolver.solve.model.questions.best` does.
    """
    if offers.hopeless:
        return None
    clock, progress = clock or Clock(), progress or (lambda *_: None)
    if charts is None:
        spendable = offers.spendable(offers.brief.total_cap)
        charts = Charts(offers, spendable, spendable)
    order = _by_ceiling(offers, charts, but)
    candidates: list[_Candidate] = []
    top: Fraction | None = None
    number = 0
    for ceiling, which in order:
        # In floating point as they are sorted; equal ones are opened.
        if top is not None and float(ceiling) < float(top):
            break
        number += 1
        progress(number, len(order))
        try:
            candidate = _open(charts if staircases else None, offers, which, top, solver, clock)
        except OutOfTime:
            return _so_far(candidates, ceiling, offers, number)
        if candidate is None:
            continue
        candidates.append(candidate)
        top = candidate.value if top is None else max(top, candidate.value)
        if not candidate.proven:
            # The charts left do not reach beyond the next ceiling, nor this one beyond its bound.
            rest = order[number][0] if number < len(order) else Fraction(0)
            highest = min(ceiling, max(candidate.bound, rest))
            return _so_far(candidates, highest, offers, number)
    try:
        finals = [_final(one, solver, clock) for one in candidates if one.value == top]
    except OutOfTime:
        return _so_far(candidates, top or Fraction(0), offers, number)
    answers = [found for found in finals if found]
    if not answers:
        return None
    first = min(answers, key=lambda found: _rank(found.choice, offers))
    return replace(first, proven=all(found.proven for found in answers), opened=number)


class _Candidate(NamedTuple):
    """An opened chart with the most of its first figure, in weighed points.

    `tops` are the steps of that value, or `peak` is what a solver found where staircases are not
    the way; `whole` if it is through all figures already.
    """

    value: Fraction
    offers: Offers
    tops: Sequence[Step] = ()
    peak: Found | None = None
    whole: bool = False

    @property
    def proven(self) -> bool:
        """Whether the value is."""
        return self.peak is None or self.peak.proven

    @property
    def bound(self) -> Fraction:
        """What no kit with the chart beats, in weighed points."""
        if self.peak is None:
            return self.value
        bound = self.peak.bound
        most = bound.quality if bound.together is None else bound.together
        return max(self.value, most * unit_of(self.offers))

    @property
    def choice(self) -> Choice:
        """A choice of that value."""
        return self.peak.choice if self.peak else winner(self.tops).choice


def _by_ceiling(offers: Offers, charts: Charts, but: Collection[str]) -> list[tuple[Fraction, int]]:
    """Return the numbers of charts that a kit may hold with their ceilings, the highest first."""
    ceilings = charts.ceilings
    at = ceilings.at(offers.spendable(offers.brief.total_cap))
    possible = [n for n in np.flatnonzero(at >= 0).tolist() if offers.charts[n].sku not in but]
    order = [(ceilings.figure(at[number], number), number) for number in possible]
    return sorted(order, key=lambda pair: (-float(pair[0]), pair[1]))


def _open(
    charts: Charts | None,
    offers: Offers,
    number: int,
    at_least: Fraction | None,
    solver: Solver,
    clock: Clock,
) -> _Candidate | None:
    """Open a chart; None if no kit holds it, or none that is of interest."""
    alone = with_chart(offers, offers.charts[number])
    cap = alone.brief.total_cap
    if charts:
        with suppress(TooTangled):
            tops = charts.opened(number, alone.spendable(cap), clock).tops(cap)
            return _Candidate(tops[0].first, alone, tops=tops) if tops else None
    if alone.many_colours:
        # The first figure by itself takes nearly as long as all of them.
        whole = best(alone, solver, clock)
        if whole is None:
            return None
        return _Candidate(weighed_points(whole.choice, alone), alone, peak=whole, whole=True)
    found = peak(_lean(alone), solver, clock, at_least)
    if found is None:
        return None
    return _Candidate(weighed_points(found.choice, alone), alone, peak=found)


def _final(candidate: _Candidate, solver: Solver, clock: Clock) -> Found | None:
    """Take a candidate through all figures."""
    if candidate.peak and candidate.whole:
        return candidate.peak
    if candidate.peak:
        return best(candidate.offers, solver, clock)
    choice = candidate.choice
    return Found(choice, figures(tally(choice, candidate.offers), candidate.offers), proven=True)


def least_payable(offers: Offers, solver: Solver, clock: Clock, *, enough: int = -1) -> int | None:
    """Return the least that is paid for any kit, whatever the cap; None if there is none.

    Parameters
    ----------
    enough : int
        In minor units: no kit is looked for that comes to less than one that comes to this.

    Raises
    ------
    OutOfTime, SolverFault
        As `kitsolver.solve.model.questions.best` does.
    """
    if offers.hopeless:
        return None
    order = [
        (offers.least_paid(floor), chart)
        for floor, chart in zip(floors(offers), offers.charts, strict=True)
        if floor is not None
    ]
    order.sort(key=lambda pair: (pair[0], pair[1].sku))
    least: int | None = None
    for bound, chart in order:
        if least is not None and (least <= enough or bound >= least):
            break
        paid = _least_paid(with_chart(offers, chart), solver, clock)
        least = min((p for p in (paid, least) if p is not None), default=None)
    return least


def _least_paid(alone: Offers, solver: Solver, clock: Clock) -> int | None:
    lean, till = _lean(alone), alone.brief.register
    worthless = replace(
        lean,
        weights=dict.fromkeys(lean.weights, 0),
        extras=tuple(replace(extra, points=0) for extra in lean.extras),
    )
    try:
        # The cheapest goods; and where these are not delivered free, dearer ones that may be.
        kits = [opened(worthless, NO_CAP, clock, gap=False)]
        goods, paid = min(
            ((step.cost, step.paid) for step in kits[0].steps(NO_CAP)), default=(0, 0)
        )
        if goods < till.free_from <= till.most_goods(paid):
            kits.append(opened(worthless, till.most_goods(paid), clock))
    except TooTangled:
        found = cheapest(lean, solver, clock)
        if found is not None and not found.proven:
            raise OutOfTime from None
        return found.bound.payable if found else None
    return min((step.paid for each in kits for step in each.steps(NO_CAP)), default=None)


def _lean(offers: Offers) -> Offers:
    """Leave the extras out where they can do nothing for the first figure."""
    brief = offers.brief
    kept = any(extra.sku in brief.choose.keep for extra in offers.extras)
    useful = brief.extras.spend == "together" or kept or brief.register.has_gap
    return offers if useful else replace(offers, extras=())


def _so_far(candidates: list[_Candidate], ceiling: Fraction, offers: Offers, number: int) -> Found:
    """Return the best found when time ran out at a chart of this ceiling, the highest left."""
    if not candidates:
        raise OutOfTime
    choice = min((one.choice for one in candidates), key=lambda choice: _rank(choice, offers))
    highest = max(ceiling, *(one.value for one in candidates))
    return Found(choice, bound_by(highest, offers), proven=False, opened=number)


def _rank(choice: Choice, offers: Offers) -> tuple[Any, ...]:
    """Return what kits are compared by: less is better."""
    sums, places = tally(choice, offers), [place.key for place in choice.places]
    lines, paid = sorted(sums.units.items()), sums.receipt.payable
    if offers.brief.extras.spend == "together":
        return -sums.combined, paid, -sums.quality, lines, places
    return -sums.quality, -sums.extras, paid, lines, places
