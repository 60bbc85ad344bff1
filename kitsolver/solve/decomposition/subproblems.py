"""The charts of some offers: what each cannot go beyond, and those opened so far."""

from __future__ import annotations

from dataclasses import replace

from kitsolver.solve.candidates.candidate import Chart
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.chart_frontier import ChartFrontier, chart_frontier
from kitsolver.solve.decomposition.upper_bound import UpperBounds
from kitsolver.solve.time_limit import TimeLimit


class Subproblems:
    """Every chart with its ceiling, to be opened when asked for, and once only.

    Parameters
    ----------
    candidates : Candidates
        With any number of charts.
    least, most : int
        The range of goods totals that will be asked for, in minor units.
    ahead : int
        Up to this goods total a chart is opened at once, if it is.
    upper_bounds : UpperBounds, optional
        If they are known already, of the same charts and at least as much else.
    """

    def __init__(
        self,
        candidates: Candidates,
        least: int,
        most: int,
        ahead: int = 0,
        upper_bounds: UpperBounds | None = None,
    ) -> None:
        self.candidates, self.ahead = candidates, ahead
        self.upper_bounds = upper_bounds or UpperBounds(candidates, least, most)
        self._opened: dict[int, ChartFrontier] = {}

    def alone(self, number: int) -> Candidates:
        """Return the offers with one chart only, by its number."""
        return with_chart(self.candidates, self.candidates.charts[number])

    def chart_frontier(self, number: int, limit: int, time_limit: TimeLimit) -> ChartFrontier:
        """Return a chart's kits whose goods cost no more than `limit`; there may be more.

        Raises
        ------
        StateLimitReached, OutOfTime
            As `kitsolver.solve.decomposition.chart_frontier.opened` does.
        """
        known = self._opened.get(number)
        if known is None or known.limit < limit:
            known = chart_frontier(self.alone(number), max(limit, self.ahead), time_limit)
            self._opened[number] = known
        return known


def with_chart(candidates: Candidates, chart: Chart) -> Candidates:
    """Return the offers with one chart only."""
    return replace(candidates, needs={**candidates.needs, "chart": (chart,)})
