"""The best kit chart by chart: the same answer as the one model, the fast way.

The chart is what ties the rest together. Every chart has a ceiling (``ceiling.py``); charts are
opened from the highest ceiling down, each as a small model of its own, until no ceiling left
reaches the best first figure found. Charts that reach it go through all figures.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

from kitsolver.solve.bychart.ceiling import ceilings, floors
from kitsolver.solve.bychart.prune import pruned
from kitsolver.solve.entry.goods import Chart
from kitsolver.solve.entry.offers import Offers
from kitsolver.solve.model.best import (
    Found,
    OutOfTime,
    Progress,
    best,
    bound_by,
    cheapest,
    peak,
    weighed_points,
)
from kitsolver.solve.model.solver import Clock, Solver
from kitsolver.solve.tally import tally


def by_chart(
    offers: Offers,
    solver: Solver = Solver.SCIP,
    clock: Clock | None = None,
    progress: Progress | None = None,
) -> Found | None:
    """Return the proven best choice, or the best found in time; None if there is none.

    Raises
    ------
    OutOfTime, SolverFault
        As `kitsolver.solve.best.best` does.
    """
    clock, progress = clock or Clock(), progress or (lambda *_: None)
    if len(offers.charts) == 1:
        return best(_with_chart(offers, offers.charts[0]), solver, clock, progress)
    order = [
        (ceiling, chart)
        for ceiling, chart in zip(ceilings(offers), offers.charts, strict=True)
        if ceiling is not None
    ]
    order.sort(key=lambda pair: (-pair[0], pair[1].sku))
    peaks: list[tuple[Fraction, Offers, Found]] = []
    top: Fraction | None = None
    for number, (ceiling, chart) in enumerate(order):
        progress(number, len(order))
        if top is not None and ceiling < top:
            break
        alone = _with_chart(offers, chart)
        try:
            found = peak(_lean(alone), solver, clock, at_least=top)
        except OutOfTime:
            return _so_far(peaks, ceiling, offers)
        if found is None:
            continue
        value = weighed_points(found.choice, offers)
        peaks.append((value, alone, found))
        top = value if top is None else max(top, value)
        if not found.proven:
            return _so_far(peaks, ceiling, offers)
    finalists = [alone for value, alone, _ in peaks if value == top]
    try:
        answers = [found for alone in finalists if (found := best(alone, solver, clock))]
    except OutOfTime:
        return _so_far(peaks, top or Fraction(0), offers)
    if not answers:
        return None
    first = min(answers, key=lambda found: _rank(found, offers))
    return replace(first, proven=all(found.proven for found in answers))


def least_payable(offers: Offers, solver: Solver, clock: Clock) -> int | None:
    """Return the least that is paid for any kit, whatever the cap; None if there is none.

    Raises
    ------
    OutOfTime, SolverFault
        As `kitsolver.solve.best.best` does.
    """
    till = offers.brief.register
    order = [
        (till.least(floor), chart)
        for floor, chart in zip(floors(offers), offers.charts, strict=True)
        if floor is not None
    ]
    order.sort(key=lambda pair: (pair[0], pair[1].sku))
    least: int | None = None
    for paid, chart in order:
        if least is not None and paid >= least:
            break
        found = cheapest(_lean(_with_chart(offers, chart)), solver, clock)
        if found is not None and not found.proven:
            raise OutOfTime
        if found is not None:
            paid = found.bound.payable
            least = paid if least is None else min(paid, least)
    return least


def _with_chart(offers: Offers, chart: Chart) -> Offers:
    return pruned(replace(offers, needs={**offers.needs, "chart": (chart,)}))


def _lean(offers: Offers) -> Offers:
    """Leave the extras out where they can do nothing for the first figure."""
    brief = offers.brief
    kept = any(extra.sku in brief.choose.keep for extra in offers.extras)
    useful = brief.extras.spend == "together" or kept or brief.register.has_gap
    return offers if useful else replace(offers, extras=())


def _so_far(
    peaks: list[tuple[Fraction, Offers, Found]], ceiling: Fraction, offers: Offers
) -> Found:
    """Return the best found when time ran out at a chart of this ceiling, the highest left."""
    if not peaks:
        raise OutOfTime
    choice = min((found for _, _, found in peaks), key=lambda found: _rank(found, offers)).choice
    highest = max(ceiling, *(value for value, _, _ in peaks))
    return Found(choice, bound_by(highest, offers), proven=False)


def _rank(found: Found, offers: Offers) -> tuple[Any, ...]:
    """Return what kits are compared by: less is better."""
    sums, places = tally(found.choice, offers), [place.key for place in found.choice.places]
    lines, paid = sorted(sums.units.items()), sums.receipt.payable
    if offers.brief.extras.spend == "together":
        return -sums.combined, paid, -sums.quality, lines, places
    return -sums.quality, -sums.extras, paid, lines, places
