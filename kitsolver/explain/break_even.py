"""At which price, or with which quality, a row would be in the best kit."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from fractions import Fraction
from itertools import chain
from math import floor

from kitsolver.explain.changed import comparison_key
from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.chart_frontier import Breakpoint, best_breakpoint
from kitsolver.solve.decomposition.chosen_rungs import improvements
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.subproblems import Subproblems
from kitsolver.solve.decomposition.sweep import rungs
from kitsolver.solve.decomposition.target import at_goods
from kitsolver.solve.engine import Solver
from kitsolver.solve.figures import Figures, figures, unit_of
from kitsolver.solve.outcome import Kit
from kitsolver.solve.tally import tally
from kitsolver.solve.time_limit import TimeLimit

_MOST_POINTS = 100_00
# The first stretch of caps is this part of the cap; each further one reaches twice as far.
_FIRST_STRETCH = 64


def beyond(price: int, candidates: Candidates) -> int:
    """Return the cap up to which kits can come within it by a row's costing nothing.

    Parameters
    ----------
    price : int
        What a unit of the row costs, in minor units.
    """
    till, cap = candidates.brief.exact_till, candidates.brief.total_cap
    if till.has_gap or candidates.limited_beside_goods:
        return cap
    return till.payable(till.most_goods(cap) + price * candidates.brief.kits)


def price_to_be_best(
    sku: str,
    best: Kit,
    charts: Subproblems,
    solver: Solver,
    time_limit: TimeLimit,
) -> int | None:
    """Return a price at which, or below which, a row is in the best kit; None if none is known.

    A kit that costs too much by some is within the cap once the row costs less by as much; and as
    it holds the row, it gets better by that and the best kit without the row does not.

    Parameters
    ----------
    sku : str
        The row.
    best : Kit
        The best kit, which does not hold it.
    charts : Subproblems
        Of candidates of which every kit holds the row, best for goods totals of up to `beyond`.

    Raises
    ------
    OutOfTime
        If time runs out.
    """
    candidates = charts.candidates
    till, cap, price = (
        candidates.brief.exact_till,
        candidates.brief.total_cap,
        _price_of(sku, candidates),
    )
    if till.has_gap or candidates.limited_beside_goods or not price:
        return None
    first, paid, _ = comparison_key(best.figures)

    def price_of(selection: Selection) -> int:
        """Return the price at which a kit with the row is the best; below zero if there is none."""
        sums = tally(selection, candidates)
        before, _, _ = comparison_key(figures(sums, candidates))
        # With no more to show than the best kit, it has to come to less.
        within = cap if before > first else min(cap, -paid - 1)
        if before < first or within < 0:
            return -1
        # What comes from home costs nothing, whatever the shop asks for it.
        bought = sums.rows[sku].bought(sums.units[sku])
        over = sums.receipt.goods - till.most_goods(within)
        return price - max(0, -(-over // bought)) if bought else -1

    top = beyond(price, candidates)
    # Where choices are tied, frontiers hold kits that rules bar.
    with suppress(StateLimitReached):
        at_once = _by_length(sku, candidates)
        for kits in _reaching(best, charts, top, time_limit, at_once=at_once):
            found = max(map(price_of, kits), default=-1)
            if found >= 0:
                return found
        return None
    climb = rungs(candidates, cap, top, solver, time_limit, charts=charts)
    found = max((price_of(rung.selection) for rung in climb.rungs), default=-1)
    return found if found >= 0 else None


def _reaching(
    best: Kit,
    charts: Subproblems,
    top: int,
    time_limit: TimeLimit,
    *,
    at_once: bool,
) -> Iterator[list[Selection]]:
    """Yield the kits that are as good as the best but for their cost, in stretches of caps.

    Parameters
    ----------
    top : int
        The highest cap, in minor units.
    at_once : bool
        Whether to make one stretch of all caps.

    Raises
    ------
    StateLimitReached, OutOfTime
        As `kitsolver.solve.decomposition.chart_frontier.chart_frontier` does.
    """
    candidates = charts.candidates
    if candidates.tied:
        raise StateLimitReached
    cap, (most, *_) = candidates.brief.total_cap, comparison_key(best.figures)[0]
    width = top - cap if at_once else min(top - cap, cap // _FIRST_STRETCH + 1)
    while True:
        goods = candidates.most_goods(cap + width)
        target = at_goods(goods, most * unit_of(candidates))
        opened: list[Breakpoint] = []
        for number in charts.reaching(target):
            chart = charts.chart_frontier(number, goods, target, time_limit)
            opened += chart.breakpoints(cap + width)
        yield [best_breakpoint(tied).selection for _, tied in improvements(opened)]
        if cap + width >= top:
            return
        width = min(2 * width, top - cap)


def _by_length(sku: str, candidates: Candidates) -> bool:
    """Tell whether the units of a row depend on what it is bought with."""
    return any(row.sku == sku for row in (*candidates.needs.get("thread", ()), *candidates.fabrics))


def _price_of(sku: str, candidates: Candidates) -> int:
    rows = chain(candidates.extras, *candidates.needs.values())
    return next((candidate.price for candidate in rows if candidate.sku == sku), 0)


def quality_to_be_best(sku: str, best: Kit, with_it: Kit, candidates: Candidates) -> int | None:
    """Return the least quality with which a row is in the best kit; None if none is known.

    Of the kits with the row the same stays best, whatever its quality. Not so for thread, which
    counts by how near it is, too.
    """
    line = next(line for line in with_it.lines if line.sku == sku)
    brief, weights = candidates.brief, candidates.weights
    if line.category == "thread" and line.role == "need" and candidates.matches_thread:
        return None
    if brief.rules_look_at("quality"):
        return None
    # What a hundredth of quality brings.
    if line.role == "extra":
        gain = Figures(Fraction(0), Fraction(1, 100), 0, Fraction(brief.extras.weight) / 100)
    else:
        weight = Fraction(brief.need(line.category).weight) / 100
        share = Fraction(weights[line.category], 100 * (sum(weights.values()) or 1))
        gain = Figures(share, Fraction(0), 0, weight)
    for points in sorted(_qualities(line.quality, gain, best.figures, with_it.figures)):
        more = points - line.quality
        raised = replace(
            with_it.figures,
            quality=with_it.figures.quality + more * gain.quality,
            extras=with_it.figures.extras + more * gain.extras,
            together=None
            if with_it.figures.together is None
            else with_it.figures.together + more * (gain.together or 0),
        )
        if points <= _MOST_POINTS and comparison_key(raised) > comparison_key(best.figures):
            return points
    return None


def _qualities(now: int, gain: Figures, best: Figures, mine: Figures) -> Iterator[int]:
    """Yield qualities, of which one is the least that can do."""
    for each, lack in (
        (gain.quality, best.quality - mine.quality),
        (gain.extras, best.extras - mine.extras),
        (gain.together or 0, (best.together or 0) - (mine.together or 0)),
    ):
        if each:
            enough = now + max(0, -floor(-lack / each))
            yield from (enough, enough + 1)
