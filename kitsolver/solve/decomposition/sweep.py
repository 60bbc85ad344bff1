"""Every rung between two caps: the caps at which the best kit gets better, with those kits.

Charts are opened from the highest cap down: at a cap, all whose ceiling reaches what is known to
be had there. Below, the best known first figure stays the same down to the sum at which it is
paid, and ceilings only fall: so nothing is looked at again until there.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from fractions import Fraction
from itertools import groupby
from math import ceil, lcm
from typing import NamedTuple

import numpy as np

from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.chart_frontier import Breakpoint, best_breakpoint
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.search import by_chart
from kitsolver.solve.decomposition.subproblems import Subproblems
from kitsolver.solve.decomposition.upper_bound import FINE
from kitsolver.solve.engine import Solver
from kitsolver.solve.search_result import Progress
from kitsolver.solve.tally import tally
from kitsolver.solve.time_limit import OutOfTime, TimeLimit


class ChosenRung(NamedTuple):
    """The least cap at which a kit can be had, in minor units, and its choice."""

    cap: int
    selection: Selection


class ProvenRungs(NamedTuple):
    """Rungs in rising order, and from which cap on they are proven complete, in minor units."""

    rungs: tuple[ChosenRung, ...]
    proven_from: int


def rungs(
    candidates: Candidates,
    low: int,
    high: int,
    solver: Solver,
    time_limit: TimeLimit,
    progress: Progress | None = None,
    charts: Subproblems | None = None,
) -> ProvenRungs:
    """Return every rung between two caps, in minor units; first the kit that stands at the lower.

    Parameters
    ----------
    charts : Subproblems, optional
        Of the same offers, if something is known of them already.

    Raises
    ------
    OutOfTime
        If time ran out before anything was proven.
    SolverFault
        As `kitsolver.solve.model.questions.best` does.
    """
    if candidates.infeasible:
        return ProvenRungs((), low)
    progress = progress or (lambda *_: None)
    at_high = replace(candidates, brief=candidates.brief.with_cap(high))
    try:
        return _Sweep(at_high, low, high, time_limit, progress, charts).climb()
    except StateLimitReached:
        return _cap_by_cap(at_high, low, high, solver, time_limit, progress)


class _Sweep:
    """The steps of the charts opened so far, and what is known of every cap."""

    def __init__(
        self,
        candidates: Candidates,
        low: int,
        high: int,
        time_limit: TimeLimit,
        progress: Progress,
        charts: Subproblems | None,
    ) -> None:
        self.candidates, self.low, self.high = candidates, low, high
        self.time_limit, self.progress = time_limit, progress
        self.steps: list[Breakpoint] = []
        # The most known of the first figure, by the least that is paid for it.
        self.known: list[tuple[int, Fraction]] = []
        self.charts = charts or Subproblems(
            candidates, candidates.most_goods(low), candidates.most_goods(high)
        )
        self.closed = np.ones(len(candidates.charts), dtype=bool)

    def climb(self) -> ProvenRungs:
        """Go down from the highest cap, as far as time allows."""
        cap = self.high
        try:
            while cap >= self.low:
                self.progress(self.high - cap, self.high - self.low)
                at = bisect_right(self.known, cap, key=lambda step: step[0]) - 1
                paid, first = self.known[at] if at >= 0 else (0, Fraction(0))
                if (chart := self._reaching(cap, first)) is None:
                    cap = paid - 1
                else:
                    self._open(chart, cap)
        except OutOfTime:
            if cap == self.high:
                raise
        low = max(self.low, cap + 1)
        return ProvenRungs(tuple(self._rungs(low)), low)

    def _reaching(self, cap: int, first: Fraction) -> int | None:
        """Return the closed chart with the highest ceiling, if it reaches what is known."""
        numbers = np.flatnonzero(self.closed)
        colours = self.charts.upper_bounds.colours[numbers]
        bounds = self.charts.upper_bounds.at(self.candidates.most_goods(cap))[numbers]
        least = {n: ceil(first * FINE * n) for n in np.unique(colours).tolist()}
        reach = bounds >= np.array([least[n] for n in colours.tolist()], dtype=np.int64)
        if not reach.any():
            return None
        return int(numbers[reach][np.argmax(bounds[reach] / colours[reach])])

    def _open(self, number: int, cap: int) -> None:
        self.closed[number] = False
        chart = self.charts.chart_frontier(number, self.candidates.most_goods(cap), self.time_limit)
        steps = list(chart.steps(cap))
        self.steps += steps
        known, self.known = self.known, []
        for paid, first in sorted([*known, *((step.paid, step.first) for step in steps)]):
            if not self.known or first > self.known[-1][1]:
                # Of what is paid for alike, the last counts most.
                if self.known and self.known[-1][0] == paid:
                    self.known.pop()
                self.known.append((paid, first))

    def _rungs(self, low: int) -> Iterator[ChosenRung]:
        """Return the rungs of all opened charts from a cap on, first what stands there."""
        common = lcm(*{step.chart_frontier.worth.times for step in self.steps})
        steps = [
            (step.paid, step.chart_frontier.worth.before_payable(step.worth, common), step)
            for step in self.steps
        ]
        steps.sort(key=lambda entry: entry[:2])
        ladder: list[tuple[int, list[Breakpoint]]] = []
        best: tuple[int, ...] = ()
        for paid, alike in groupby(steps, key=lambda entry: entry[0]):
            together = list(alike)
            top = together[-1][1]
            if top > best:
                best = top
                if paid <= low:
                    ladder.clear()
                ladder.append((paid, [step for _, before, step in together if before == top]))
        for paid, tied in ladder:
            yield ChosenRung(paid, best_breakpoint(tied).selection)


def _cap_by_cap(
    candidates: Candidates,
    low: int,
    high: int,
    solver: Solver,
    time_limit: TimeLimit,
    progress: Progress,
) -> ProvenRungs:
    """Return the rungs by a search at each: below what a best kit costs, another one is best."""
    ladder: list[ChosenRung] = []
    cap = high
    while cap >= low:
        progress(high - cap, high - low)
        at_cap = replace(candidates, brief=candidates.brief.with_cap(cap))
        found = None
        with suppress(OutOfTime):
            found = by_chart(at_cap, solver, time_limit)
            if found is None:
                break
        if found is None or not found.proven:
            if not ladder:
                raise OutOfTime
            return ProvenRungs(tuple(reversed(ladder)), cap + 1)
        paid = tally(found.selection, at_cap).receipt.payable
        ladder.append(ChosenRung(paid, found.selection))
        cap = paid - 1
    return ProvenRungs(tuple(reversed(ladder)), low)
