"""The charts of some candidates: an upper bound of each, and its subproblem once it is needed."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import ceil

import numpy as np

from kitsolver.solve.candidates.candidate import Chart
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.chart_frontier import ChartFrontier, chart_frontier
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.objective import SCORE_UNIT, objective_of
from kitsolver.solve.decomposition.subproblem import Subproblem
from kitsolver.solve.decomposition.target import Target
from kitsolver.solve.decomposition.thread.parts import ThreadParts
from kitsolver.solve.decomposition.upper_bound import UpperBounds
from kitsolver.solve.time_limit import TimeLimit

# So many charts that are set up are tried before others for a quick kit.
_FEW = 8


class Subproblems:
    """Every chart with its upper bound; its subproblem is set up when asked for, and once only.

    Parameters
    ----------
    candidates : Candidates
        With any number of charts.
    least, most : int
        The range of goods totals that will be asked for, in minor units.
    upper_bounds : UpperBounds, optional
        If they are known already, of the same charts and at least as much else.
    known : Subproblems, optional
        Of other candidates: what is known of their thread is used if it is the same.
    time_limit : TimeLimit, optional
        It is looked at while upper bounds are computed.
    """

    def __init__(
        self,
        candidates: Candidates,
        least: int,
        most: int,
        upper_bounds: UpperBounds | None = None,
        *,
        known: Subproblems | None = None,
        time_limit: TimeLimit | None = None,
    ) -> None:
        self.candidates, self.most = candidates, most
        self.threads: ThreadParts = ThreadParts.of(candidates, known.threads if known else None)
        self.upper_bounds: UpperBounds = upper_bounds or UpperBounds(
            candidates,
            least,
            most,
            self.threads,
            known=known.upper_bounds if known else None,
            time_limit=time_limit,
        )
        self.colours = self.upper_bounds.colours
        self._known: dict[int, Subproblem] = {}
        # By number and cap what no kit with a chart exceeds, as far as it is known from the
        # chart's own subproblem; below zero if no kit holds the chart.
        self._closer: dict[tuple[int, int], Fraction] = {}

    def alone(self, number: int) -> Candidates:
        """Return the candidates with one chart only, by its number."""
        return with_chart(self.candidates, self.candidates.charts[number])

    def subproblem(self, number: int, limit: int, time_limit: TimeLimit) -> Subproblem:
        """Return a chart's subproblem, for goods totals of up to `limit` at least.

        Raises
        ------
        StateLimitReached, OutOfTime
            As `kitsolver.solve.decomposition.chart_frontier.chart_frontier` does.
        """
        if not self.candidates.relaxed_by_frontiers:
            raise StateLimitReached
        known = self._known.get(number)
        if known is None or known.limit < limit:
            alone, most = self.alone(number), max(limit, self.most)
            multiplier = int(self.upper_bounds.multipliers(limit)[number])
            known = Subproblem(
                alone,
                objective_of(alone),
                most,
                time_limit,
                multiplier=multiplier,
                threads=self.threads,
            )
            self._known[number] = known
        return known

    def is_set_up(self, number: int) -> bool:
        """Tell whether a chart's subproblem is known already."""
        return number in self._known

    def quickest_first(self) -> list[int]:
        """Return the charts: some whose subproblems are known, then the cheap ones."""
        cheap = [n for n in self.upper_bounds.cheapest_first() if n not in self._known]
        return [*list(self._known)[:_FEW], *cheap]

    def bounds_within(self, cap: int) -> dict[int, Fraction]:
        """Return the charts that a kit within a cap may hold, by number, with upper bounds."""
        at = self.upper_bounds.at(self.candidates.most_goods(cap))
        found = dict[int, Fraction]()
        for number in np.flatnonzero(at >= 0).tolist():
            bound = self.upper_bounds.figure(at[number], number)
            closer = min(bound, self._closer.get((number, cap), bound))
            if closer >= 0:
                found[number] = closer
        return found

    def note(self, number: int, cap: int, bound: Fraction | None) -> None:
        """Remember what no kit with a chart within a cap exceeds; None if there is no such kit."""
        bound = Fraction(-1) if bound is None else bound
        self._closer[number, cap] = min(bound, self._closer.get((number, cap), bound))

    def note_all_of(self, other: Subproblems) -> None:
        """Remember what is known of the same charts in candidates with at least these rows."""
        for (number, cap), bound in other._closer.items():
            self.note(number, cap, bound)

    def upper_bound(self, goods: int, time_limit: TimeLimit) -> Fraction:
        """Return what the first figure of no kit within a goods total exceeds; 0 without a kit.

        Raises
        ------
        StateLimitReached, OutOfTime
            As `subproblem` does.
        """
        at = self.upper_bounds.at(goods)
        order = sorted(np.flatnonzero(at >= 0).tolist(), key=lambda n: -at[n] / self.colours[n])
        highest = Fraction(0)
        for number in order:
            bound = self.upper_bounds.figure(at[number], number)
            if bound <= highest:
                break
            own = self.subproblem(number, goods, time_limit).upper_bound(goods, time_limit)
            highest = max(highest, min(bound, own or Fraction(0)))
        return highest

    def reaching(self, target: Target) -> list[int]:
        """Return the charts whose upper bound reaches a target, the highest bounds first."""
        reach = np.zeros(len(self.colours), dtype=bool)
        for goods, first in target.demands:
            least = {n: ceil(first * SCORE_UNIT * n) for n in np.unique(self.colours).tolist()}
            floors = np.array([least[n] for n in self.colours.tolist()], dtype=np.int64)
            reach |= self.upper_bounds.at(goods) >= np.maximum(0, floors)
        highest = self.upper_bounds.at(target.limit) / self.colours
        return sorted(np.flatnonzero(reach).tolist(), key=lambda number: -highest[number])

    def chart_frontier(
        self, number: int, limit: int, target: Target | None, time_limit: TimeLimit
    ) -> ChartFrontier:
        """Return a chart's kits whose goods cost no more than `limit` and that reach a target.

        Raises
        ------
        StateLimitReached, OutOfTime
            As `kitsolver.solve.decomposition.chart_frontier.chart_frontier` does.
        """
        subproblem = self.subproblem(number, limit, time_limit)
        return chart_frontier(subproblem, limit, target, time_limit)


def with_chart(candidates: Candidates, chart: Chart) -> Candidates:
    """Return the candidates with one chart only."""
    return replace(candidates, needs={**candidates.needs, "chart": (chart,)})
