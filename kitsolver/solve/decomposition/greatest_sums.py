"""The greatest that a limited sum comes to in a kit, chart by chart: for limits that ask for much.

What rows count for the sum stands in for their points. So the frontier of a chart holds the kits
that come to most at each goods total. It is a relaxation: a pack that serves several colours counts
for each of them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from functools import cached_property
from math import ceil, lcm

import numpy as np

from kitsolver.brief.own_rules import Limit
from kitsolver.craft.thread import Charted
from kitsolver.solve.candidates.candidate import Candidate, Chart, Fabric, Selection, Thread
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.places import Asked, NearPlaces, Places
from kitsolver.solve.candidates.quantities import pools, skeins_a_pool, thread_units
from kitsolver.solve.decomposition.chart_frontier import ChartFrontier, chart_frontier
from kitsolver.solve.decomposition.objective import SCORE_UNIT, Objective
from kitsolver.solve.decomposition.opened_chart import as_offered
from kitsolver.solve.decomposition.subproblem import Subproblem
from kitsolver.solve.decomposition.subproblems import with_chart
from kitsolver.solve.decomposition.target import at_goods
from kitsolver.solve.rules import units_with
from kitsolver.solve.rules.limits import bounds_of, measure_of
from kitsolver.solve.time_limit import TimeLimit

# More than any kit costs, and yet such that sums stay within 64 bits.
_MOST_COST = 2**40
# Counts beyond this could leave 64 bits once they are added up.
_MOST_COUNT = 2**36
# Worths beyond this are no longer held in 64 bits.
_LARGE = 2**61


class GreatestSum:
    """What the lines of kits come to at most for a limit. Sums are in `parts` of what is limited.

    Parameters
    ----------
    candidates : Candidates
        With any number of charts.
    rule : Limit
        Of their brief.
    cap : int
        The most that is paid, in minor units.
    """

    def __init__(self, candidates: Candidates, rule: Limit, cap: int) -> None:
        self._candidates, self._rule = candidates, rule
        self._most = min(candidates.most_goods(cap), _MOST_COST)
        rows = (row for row in candidates.rows if row.sku)
        said = [Fraction(row.measure(measure_of(rule))) for row in rows]
        self.parts = lcm(*(number.denominator for number in said))
        self._known_others: dict[int, int] = {}
        self._known_colours: dict[Charted, tuple[int, int]] = {}
        # Whether no row counts less than nothing, nor so much that sums leave 64 bits.
        self.known = all(0 <= number * self.parts <= _MOST_COUNT for number in said)

    @property
    def least(self) -> int:
        """The least that the limit asks for."""
        least, _ = bounds_of(self._rule, self._candidates.brief)
        return ceil((least or 0) * self.parts)

    def at_most(self, chart: Chart) -> int:
        """Return what no kit with a chart exceeds, at first sight.

        Money has a price, as in `upper_bound.py`: the least result of some multipliers counts.
        """
        each = (self._scores(chart, rate) + rate * self._most for rate in self._rates)
        return min(each) // SCORE_UNIT

    def goods(self, chart: Chart) -> int:
        """Return a goods total below which no kit with a chart comes to what the limit asks for."""
        asked = SCORE_UNIT * self.least
        each = ((asked - self._scores(chart, rate), rate) for rate in self._rates if rate)
        return max((-(-lacking // rate) for lacking, rate in each), default=0)

    def _scores(self, chart: Chart, rate: int) -> int:
        """Return what a kit with a chart scores at most, where a minor unit takes a rate away."""
        counted = self._counted(chart, chart.units)
        total = SCORE_UNIT * counted - rate * chart.cost + self._others(rate)
        cloth = ((self._counted(row, self._units(row, chart)), row) for row in self._best_fabrics)
        total += max((SCORE_UNIT * count - rate * row.cost for count, row in cloth), default=0)
        for asked in (chart.shades or ()) if self._matches else ():
            count, cost = self._of_colour(asked)
            total += SCORE_UNIT * count - rate * cost
        return total

    def kits(
        self, chart: Chart, least: int, cap: int, time_limit: TimeLimit
    ) -> Iterator[ChartFrontier]:
        """Yield the frontiers of a chart's kits that come to so much, by effective count.

        No more is paid than a cap, in minor units.

        Raises
        ------
        StateLimitReached, OutOfTime
            As `kitsolver.solve.decomposition.frontier.sum_of` does.
        """
        alone = with_chart(self._candidates, chart)
        times = max(1, len(chart.shades or ())) if self._matches else 1
        large = (1 + self.at_most(chart)) * times * SCORE_UNIT >= _LARGE
        objective = Objective(times, together=False, share=0, base=1, large=large, only_money=False)
        most = min(self._most, self._candidates.most_goods(cap))
        target = at_goods(most, Fraction(least))
        for count in self._counts:
            fabrics = tuple(row for row in alone.fabrics if row.count == count)
            part = replace(alone, needs={**alone.needs, "fabric": fabrics})
            counted = self._at_counts(part, chart, times)
            subproblem = Subproblem(counted, objective, most, time_limit, gap=False)
            found = chart_frontier(subproblem, most, target, time_limit)
            if len(found.frontier):
                yield found

    def selections(
        self, chart: Chart, least: int, cap: int, offered: Candidates, time_limit: TimeLimit
    ) -> Iterator[tuple[int, Selection]]:
        """Yield the cheapest kit that comes to so much, and the greatest within a cap.

        What each comes to in the relaxation is told with it. Free colours have none.

        Parameters
        ----------
        offered : Candidates
            The candidates that the selections are to be of.

        Raises
        ------
        StateLimitReached, OutOfTime
            As `kits` does.
        """
        found = [(kits, kits.frontier) for kits in self.kits(chart, least, cap, time_limit)]
        if not found:
            return
        cheapest = min(found, key=lambda pair: int(pair[1].cost[0]))
        greatest = max(found, key=lambda pair: int(pair[1].worth[-1]))
        for (kits, frontier), place in ((cheapest, 0), (greatest, -1)):
            goods, worth = int(frontier.cost[place]), int(frontier.worth[place])
            taken = as_offered(kits.selection(goods, worth), offered)
            yield int(kits.objective.first(worth)), taken

    @property
    def _matches(self) -> bool:
        return self._candidates.matches_thread

    @cached_property
    def _rates(self) -> list[int]:
        """Multipliers, from none at all to so dear that little is bought."""
        needs, extras = self._candidates.needs.values(), self._candidates.extras
        money = sum(max((row.cost for row in rows), default=0) for rows in (*needs, extras))
        dear = SCORE_UNIT * (self._others(0) // SCORE_UNIT + 1) / (min(money, self._most) + 1)
        return sorted({0, *(int(dear * 2**power) for power in range(-6, 5))})

    def _others(self, rate: int) -> int:
        """Return what the rows beside chart, fabric and matched thread score at most."""
        if rate not in self._known_others:
            self._known_others[rate] = self._score_others(rate)
        return self._known_others[rate]

    def _score_others(self, rate: int) -> int:
        candidates = self._candidates

        def score(row: Candidate) -> int:
            return SCORE_UNIT * self._counted(row, row.units) - rate * row.cost

        needs = sum(
            max(map(score, candidates.needs[need]), default=0) for need in candidates.plain_needs
        )
        extras: dict[str, int] = {}
        for extra in candidates.extras:
            extras[extra.category] = max(score(extra), extras.get(extra.category, 0))
        return needs + sum(sorted(extras.values(), reverse=True)[: candidates.brief.extras.most])

    @cached_property
    def _best_fabrics(self) -> list[Fabric]:
        """The fabrics of which none counts and costs as another, or counts less and costs more."""
        kept: list[Fabric] = []
        fixed = self._candidates.brief.kits == 1 and not any(
            f.roll for f in self._candidates.fabrics
        )
        for row in sorted(self._candidates.fabrics, key=lambda row: (row.cost, row.sku)):
            if not fixed or all(self._counted(row, 1) > self._counted(one, 1) for one in kept):
                kept.append(row)
        return kept

    @cached_property
    def _near(self) -> dict[Asked, tuple[int, int]]:
        """What a unit of a row near a charted colour counts at most, and costs it at least."""
        near, found = self._candidates.near.near, {}
        threads = {id(one.threads): one.threads for one in near.values()}
        measures = {
            key: (
                np.array([self._counted(row, 1) for row in rows], dtype=np.int64),
                np.array([_least_cost(row) for row in rows], dtype=np.int64),
            )
            for key, rows in threads.items()
        }
        for asked, one in near.items():
            counts, costs = measures[id(one.threads)]
            most = int(counts[one.row].max(initial=0))
            found[asked] = most, int(costs[one.row].min()) if len(one.row) else 0
        return found

    def _of_colour(self, asked: Charted) -> tuple[int, int]:
        """Return what the thread of a charted colour counts at most, and costs at least."""
        if asked not in self._known_colours:
            self._known_colours[asked] = self._thread(asked)
        return self._known_colours[asked]

    def _thread(self, asked: Charted) -> tuple[int, int]:
        of_unit, cost = self._near.get((asked.colour, asked.kind), (0, 0))
        number, _ = pools(self._candidates.brief)
        if not of_unit or self._rule.column is None:
            return of_unit, number * cost
        brief, shortest = self._candidates.brief, self._shortest_skein
        pool = (skeins_a_pool(asked, count, shortest, brief) for count in self._counts)
        return of_unit * number * max(pool, default=1), number * cost

    @cached_property
    def _shortest_skein(self) -> int:
        return min((row.skein_length for row in self._candidates.threads if row.sku), default=1)

    @cached_property
    def _counts(self) -> list[Fraction | None]:
        return list(dict.fromkeys(fabric.count for fabric in self._candidates.fabrics))

    def _units(self, fabric: Fabric, chart: Chart) -> int:
        if self._candidates.brief.kits == 1 and fabric.roll is None:
            return 1
        return units_with(chart, fabric, self._candidates.brief) or 0

    def _counted(self, row: Candidate, units: int) -> int:
        """Return what some units of a row count."""
        if not row.sku:
            return 0
        of_unit = int(Fraction(row.measure(measure_of(self._rule))) * self.parts)
        return of_unit * (1 if self._rule.column is None else units)

    def _at_counts(self, alone: Candidates, chart: Chart, times: int) -> Candidates:
        """Return candidates of one chart and effective count whose points are what they count."""
        count = alone.fabrics[0].count

        def counted(row: Candidate) -> Candidate:
            units = self._units(row, chart) if isinstance(row, Fabric) else row.units
            return replace(row, points=self._counted(row, units))

        def near_counted(asked: Charted, near: NearPlaces) -> NearPlaces:
            rows, place = np.unique(near.row, return_inverse=True)
            most = [self._of_thread(near.threads[row], asked, count) for row in rows.tolist()]
            return replace(near, points=times * np.array(most, dtype=np.int64)[place])

        extras = [(extra, self._counted(extra, extra.units)) for extra in alone.extras]
        shades = {(asked.colour, asked.kind): asked for asked in chart.shades or ()}
        near = {key: one for key, one in alone.near.near.items() if key in shades}
        return replace(
            alone,
            needs={
                need: rows if need == "thread" and self._matches else tuple(map(counted, rows))
                for need, rows in alone.needs.items()
            },
            extras=tuple(replace(extra, points=times * count) for extra, count in extras),
            near=Places({key: near_counted(shades[key], one) for key, one in near.items()}),
            weights=dict.fromkeys(alone.needs, 1),
        )

    def _of_thread(self, row: Thread, asked: Charted, count: Fraction | None) -> int:
        """Return what a row counts as the thread of a charted colour at an effective count."""
        if not self._counted(row, 1):
            return 0
        brief = self._candidates.brief
        return self._counted(row, thread_units(row, asked, count, brief))


def _least_cost(row: Thread) -> int:
    """Return what a colour pays at least for a skein of a row; a pack is shared by all colours."""
    return 0 if row.listed or not row.sku else row.price // len(row.colours)
