"""The charts of some offers: what each cannot go beyond, and those opened so far."""

from __future__ import annotations

from dataclasses import replace

from kitsolver.solve.decomposition.upper_bound import Ceilings
from kitsolver.solve.decomposition.chart_frontier import Opened, opened
from kitsolver.solve.candidates.candidate import Chart
from kitsolver.solve.candidates.candidates import Offers
from kitsolver.solve.model.solver import Clock


class Charts:
    """Every chart with its ceiling, to be opened when asked for, and once only.

    Parameters
    ----------
    offers : Offers
        With any number of charts.
    least, most : int
        The range of goods totals that will be asked for, in minor units.
    ahead : int
        Up to this goods total a chart is opened at once, if it is.
    ceilings : Ceilings, optional
        If they are known already, of the same charts and at least as much else.
    """

    def __init__(
        self,
        offers: Offers,
        least: int,
        most: int,
        ahead: int = 0,
        ceilings: Ceilings | None = None,
    ) -> None:
        self.offers, self.ahead = offers, ahead
        self.ceilings = ceilings or Ceilings(offers, least, most)
        self._opened: dict[int, Opened] = {}

    def alone(self, number: int) -> Offers:
        """Return the offers with one chart only, by its number."""
        return with_chart(self.offers, self.offers.charts[number])

    def opened(self, number: int, limit: int, clock: Clock) -> Opened:
        """Return a chart's kits whose goods cost no more than `limit`; there may be more.

        Raises
        ------
        TooTangled, OutOfTime
            As `kitsolver.solve.decomposition.chart_frontier.opened` does.
        """
        known = self._opened.get(number)
        if known is None or known.limit < limit:
            known = opened(self.alone(number), max(limit, self.ahead), clock)
            self._opened[number] = known
        return known


def with_chart(offers: Offers, chart: Chart) -> Offers:
    """Return the offers with one chart only."""
    return replace(offers, needs={**offers.needs, "chart": (chart,)})
