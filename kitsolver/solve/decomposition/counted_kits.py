"""The kits that come to most for a limit, from frontiers: what rows count stands for their points.

So the frontier of a chart holds the kits that come to most at each goods total. It is a relaxation:
a pack that serves several colours counts for each of them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from kitsolver.craft.thread import Charted
from kitsolver.solve.candidates.candidate import Candidate, Chart, Fabric, Selection, Thread
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.places import Asked, NearPlaces, Places
from kitsolver.solve.decomposition.chart_frontier import ChartFrontier, chart_frontier
from kitsolver.solve.decomposition.greatest_sums import LARGE, GreatestSum, SumAtCount
from kitsolver.solve.decomposition.greedy_kit import greedy_kits
from kitsolver.solve.decomposition.objective import SCORE_UNIT, Objective
from kitsolver.solve.decomposition.opened_chart import as_offered, worthless
from kitsolver.solve.decomposition.subproblem import Subproblem
from kitsolver.solve.decomposition.subproblems import with_chart
from kitsolver.solve.decomposition.target import at_goods, limits_beyond
from kitsolver.solve.rules import units_with
from kitsolver.solve.time_limit import TimeLimit


class CountedKits:
    """The kits of charts that come to much for a limit, by their frontiers.

    Parameters
    ----------
    sums : GreatestSum
        What kits come to at most for the limit, and the candidates.
    """

    def __init__(self, sums: GreatestSum) -> None:
        self._sums = sums

    def kits(
        self,
        chart: Chart,
        least: int,
        most: int,
        time_limit: TimeLimit,
        narrowed: Callable[[Candidates, SumAtCount], Candidates] | None = None,
    ) -> list[ChartFrontier]:
        """Return the frontiers of a chart's kits that come to so much, by effective count.

        Parameters
        ----------
        most : int
            A goods total that they do not exceed, in minor units.
        narrowed : callable, optional
            Leaves out candidates of a count, so that fewer kits are looked for.

        Raises
        ------
        StateLimitReached, OutOfTime
            As `kitsolver.solve.decomposition.frontier.sum_of` does.
        """
        alone = with_chart(self._sums.candidates, chart)
        times = max(1, len(chart.shades or ())) if alone.matches_thread else 1
        counts = [at for at in self._sums.at_counts(chart) if at.most >= least]
        large = (1 + self._sums.at_most(chart)) * times * SCORE_UNIT >= LARGE
        objective = Objective(times, together=False, share=0, base=1, large=large, only_money=False)
        target, kits = at_goods(most, Fraction(least)), []
        for at in counts:
            if at.goods > most and least >= self._sums.least:
                continue
            fabrics = tuple(row for row in alone.fabrics if row.count == at.effective)
            part = replace(alone, needs={**alone.needs, "fabric": fabrics})
            if narrowed is not None:
                part = narrowed(part, at)
            counted = self._with_points(part, chart, times)
            subproblem = Subproblem(counted, objective, most, time_limit, gap=False)
            found = chart_frontier(subproblem, most, target, time_limit)
            if len(found.frontier):
                kits.append(found)
        return kits

    def likely_selection(
        self,
        chart: Chart,
        cap: int,
        offered: Candidates,
        time_limit: TimeLimit,
        *,
        cheapest: bool,
    ) -> Selection | None:
        """Return a kit that comes to what the limit asks for, if one is soon found.

        It holds the extras with which a kit is cheapest at first sight. The parameters and errors
        are those of `selections`.

        Parameters
        ----------
        cheapest : bool
            Whether none but the cheapest kit of the chart will do. If any will, packs that count
            are left out, which count for each colour that they serve.
        """

        def narrowed(part: Candidates, at: SumAtCount) -> Candidates:
            forced = part.forced | {row.category for row in at.extras}
            part = replace(part, extras=at.extras, forced=forced)
            return part if cheapest else replace(part, near=part.near.where(self._counts_once))

        bound = self._sums.goods(chart)
        within = min(self._sums.most_goods, self._sums.candidates.most_goods(cap))
        most = min(within, bound) if cheapest else within
        kits = self.kits(chart, self._sums.least, most, time_limit, narrowed)
        return next((taken for _, taken in _cheapest_and_greatest(kits, offered)), None)

    def greedy_selections(
        self, chart: Chart, cap: int, offered: Candidates, time_limit: TimeLimit
    ) -> Iterator[Selection]:
        """Yield kits that are quickly found, in which as many lines of thread count as are asked.

        None where no lines are counted. The parameters and errors are those of `selections`.
        """
        alone = with_chart(self._sums.candidates, chart)
        near = self._counting_lines(chart, alone) if alone.matches_thread else None
        if near is None:
            return
        alone = worthless(replace(alone, near=near))
        most = min(self._sums.most_goods, self._sums.candidates.most_goods(cap))
        subproblem = Subproblem.of_money(alone, most, time_limit)
        for kit in greedy_kits(subproblem):
            if kit.goods <= most:
                yield as_offered(kit.selection, offered)

    def _counting_lines(self, chart: Chart, alone: Candidates) -> Places | None:
        """Return places of which those of so many colours count as lines are asked for.

        None if lines are not counted, or if too few colours have such places, or other ones.
        """
        counted, keys = self._sums.counted, [(one.colour, one.kind) for one in chart.shades or ()]
        if not counted.lines:
            return None
        # A pack is one line, however many colours it serves.
        counting = alone.near.where(lambda row: len(row.colours) == 1 and counted.of_unit(row) > 0)
        others = alone.near.where(lambda row: not counted.of_unit(row))
        # The colours that have most of them.
        keys.sort(key=lambda key: (-len(counting.near[key].row), key))
        asked = keys[: self._sums.least]
        near = {key: (counting if key in asked else others).near[key] for key in keys}
        return Places(near) if all(len(one.row) for one in near.values()) else None

    def _counts_once(self, thread: Thread) -> bool:
        """Tell whether a row counts for no more than one colour."""
        return len(thread.colours) == 1 or not self._sums.counted.of_unit(thread)

    def cheapest_selections(
        self, chart: Chart, cap: int, offered: Candidates, time_limit: TimeLimit
    ) -> list[Selection]:
        """Return the cheapest kit that comes to what the limit asks for, and a greater one.

        The parameters and errors are those of `selections`.
        """
        most = min(self._sums.most_goods, self._sums.candidates.most_goods(cap))
        for near in (*limits_beyond(self._sums.goods(chart), most), most):
            kits = self.kits(chart, self._sums.least, near, time_limit)
            if kits:
                return [taken for _, taken in _cheapest_and_greatest(kits, offered)]
            if near == most:
                break
        return []

    def selections(
        self, chart: Chart, least: int, cap: int, offered: Candidates, time_limit: TimeLimit
    ) -> list[tuple[int, Selection]]:
        """Return the cheapest kit that comes to so much, and the greatest within a cap.

        What each comes to in the relaxation is told with it. Free colours have none.

        Parameters
        ----------
        cap : int
            The most that is paid, in minor units.
        offered : Candidates
            The candidates that the selections are to be of.

        Raises
        ------
        StateLimitReached, OutOfTime
            As `kits` does.
        """
        most = min(self._sums.most_goods, self._sums.candidates.most_goods(cap))
        kits = self.kits(chart, least, most, time_limit)
        return list(_cheapest_and_greatest(kits, offered))

    def _with_points(self, alone: Candidates, chart: Chart, times: int) -> Candidates:
        """Return candidates of one chart and effective count whose points are what they count."""
        count, brief = alone.fabrics[0].count, alone.brief

        def pointed(row: Candidate) -> Candidate:
            if isinstance(row, Fabric) and row.sku:
                units = units_with(chart, row, brief) or 0
                return replace(row, points=self._sums.counted.of(row, units))
            return replace(row, points=self._sums.counted.of_row(row))

        def near_pointed(asked: Charted, near: NearPlaces) -> NearPlaces:
            points = times * self._sums.counted.of_colour(near.threads, asked, count)
            return replace(near, points=points[near.row])

        extras = [(extra, self._sums.counted.of_row(extra)) for extra in alone.extras]
        shades: dict[Asked, Charted] = {(one.colour, one.kind): one for one in chart.shades or ()}
        near = {key: one for key, one in alone.near.near.items() if key in shades}
        return replace(
            alone,
            needs={
                need: rows
                if need == "thread" and alone.matches_thread
                else tuple(map(pointed, rows))
                for need, rows in alone.needs.items()
            },
            extras=tuple(replace(extra, points=times * count) for extra, count in extras),
            near=Places({key: near_pointed(shades[key], one) for key, one in near.items()}),
            weights=dict.fromkeys(alone.weights, 1),
        )


def _cheapest_and_greatest(
    kits: Sequence[ChartFrontier], offered: Candidates
) -> Iterator[tuple[int, Selection]]:
    """Yield the cheapest and the greatest kit of some frontiers, and what they come to."""
    if not kits:
        return
    cheapest = min(kits, key=lambda one: int(one.frontier.cost[0]))
    greatest = max(kits, key=lambda one: int(one.frontier.worth[-1]))
    for one, place in ((cheapest, 0), (greatest, -1)):
        goods, worth = int(one.frontier.cost[place]), int(one.frontier.worth[place])
        taken = as_offered(one.selection(goods, worth), offered)
        yield int(one.objective.first(worth)), taken
