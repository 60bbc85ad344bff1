"""Rungs as they are chosen: kits that get better as the cap rises, with the least cap of each."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import groupby
from math import lcm
from typing import NamedTuple

from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.decomposition.chart_frontier import Breakpoint
from kitsolver.solve.time_limit import OutOfTime


class ChosenRung(NamedTuple):
    """The least cap at which a kit can be had, in minor units, and its selection."""

    cap: int
    selection: Selection


class ProvenRungs(NamedTuple):
    """Rungs in rising order, and from which cap on they are proven complete, in minor units."""

    rungs: tuple[ChosenRung, ...]
    proven_from: int


def from_above(low: int, high: int, best: Callable[[int], ChosenRung | None]) -> ProvenRungs:
    """Return every rung between two caps, in minor units, from above as far as time allows.

    The best kit at a cap is the best down to what is paid for it; below, another one is.

    Parameters
    ----------
    best : callable
        Takes a cap and returns the best kit there, with what is paid for it; None without a kit.

    Raises
    ------
    OutOfTime
        If time ran out before anything was proven.
    """
    ladder: list[ChosenRung] = []
    cap, proven_from = high, low
    try:
        while cap >= low:
            rung = best(cap)
            if rung is None:
                break
            ladder.append(rung)
            cap = rung.cap - 1
    except OutOfTime:
        if not ladder:
            raise
        proven_from = cap + 1
    return ProvenRungs(tuple(reversed(ladder)), proven_from)


def improvements(breakpoints: Sequence[Breakpoint]) -> Iterator[tuple[int, list[Breakpoint]]]:
    """Yield what is paid for each best kit, in rising order, with the breakpoints that tie at it.

    Each is better than all for which less is paid, before it comes to what is paid.
    """
    common = lcm(*{one.chart_frontier.objective.times for one in breakpoints})
    ranked = [
        (one.paid, one.chart_frontier.objective.before_payable(one.worth, common), one)
        for one in breakpoints
    ]
    ranked.sort(key=lambda entry: entry[:2])
    best: tuple[int, ...] = ()
    for paid, alike in groupby(ranked, key=lambda entry: entry[0]):
        together = list(alike)
        top = together[-1][1]
        if top > best:
            best = top
            yield paid, [one for _, before, one in together if before == top]
