"""The greatest that a limited sum comes to in a kit, chart by chart: for limits that ask for much.

These are bounds: every choice takes its best row by itself, or all rows beside chart, fabric and
thread together, and a pack that serves several colours counts for each of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from fractions import Fraction
from functools import cached_property
from math import ceil
from typing import NamedTuple

import numpy as np

from kitsolver.brief.own_rules import Limit
from kitsolver.solve.candidates.candidate import Candidate, Chart
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.counted_cloth import CountedCloth
from kitsolver.solve.decomposition.counted_others import counted_others, score_of_others
from kitsolver.solve.decomposition.counted_rows import CountedRows
from kitsolver.solve.decomposition.counted_thread import CountedThread
from kitsolver.solve.decomposition.frontier import Frontier, StateLimitReached
from kitsolver.solve.decomposition.objective import SCORE_UNIT
from kitsolver.solve.decomposition.opened_chart import without_extras, worthless
from kitsolver.solve.decomposition.row_parts import Slot
from kitsolver.solve.decomposition.subproblem import Subproblem
from kitsolver.solve.decomposition.subproblems import with_chart
from kitsolver.solve.decomposition.upper_bound import thread_lower_bounds
from kitsolver.solve.rules.limits import bounds_of
from kitsolver.solve.time_limit import TimeLimit

# More than any kit costs, and yet such that sums stay within 64 bits.
_MOST_COST = 2**40
# Worths beyond this are no longer held in 64 bits.
LARGE = 2**61


class SumAtCount(NamedTuple):
    """What kits with a chart come to at an effective count: at most, and from which goods on.

    Parameters
    ----------
    effective : Fraction or None
        The effective count; None where it is unknown.
    most : int
        What none of them exceeds.
    goods : int
        A goods total below which none comes to what the limit asks for, in minor units.
    extras : tuple of Candidate
        Those of such a goods total, where that is known.
    """

    effective: Fraction | None
    most: int
    goods: int
    extras: tuple[Candidate, ...] = ()


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
    counted : CountedRows, optional
        What these rows count for the limit, and perhaps others, where that is known.
    """

    def __init__(
        self, candidates: Candidates, rule: Limit, cap: int, counted: CountedRows | None = None
    ) -> None:
        self.candidates, self._rule = candidates, rule
        self.most_goods = min(candidates.most_goods(cap), _MOST_COST)
        self.counted = counted or CountedRows(candidates.rows, rule, candidates.brief)
        self._known_others: dict[int, int] = {}
        self._known_counts: dict[str, list[SumAtCount]] = {}
        self._others_together: Frontier | None = None

    @property
    def known(self) -> bool:
        """Whether no row counts less than nothing, nor so much that sums leave 64 bits."""
        return self.counted.known

    @property
    def parts(self) -> int:
        """In how many parts of what is limited sums are counted."""
        return self.counted.parts

    @cached_property
    def least(self) -> int:
        """The least that the limit asks for."""
        least, _ = bounds_of(self._rule, self.candidates.brief)
        return ceil((least or 0) * self.parts)

    def at_most(self, chart: Chart) -> int:
        """Return what no kit with a chart exceeds; less than nothing if no kit can hold it.

        Which fabric goes with the chart is not looked at if no kit comes to what is asked for.
        """
        if chart.sku not in self._known_counts and self._most_beside is not None:
            most = self._most_beside + self.counted.of_row(chart)
            if most < self.least:
                return most
        return max((at.most for at in self.at_counts(chart)), default=-1)

    @cached_property
    def _most_beside(self) -> int | None:
        """What all rows beside the chart come to at most; None if the chart decides on that."""
        counting = self._matches and any(map(self.counted.of_unit, self.candidates.threads))
        most = self._cloth.most
        return None if counting or most is None else most + self._others(0) // SCORE_UNIT

    def goods(self, chart: Chart) -> int:
        """Return a goods total below which no kit with a chart comes to what is asked for."""
        return min((at.goods for at in self.at_counts(chart)), default=self.most_goods + 1)

    def at_counts(self, chart: Chart) -> list[SumAtCount]:
        """Return what kits with a chart come to at each effective count that it may have.

        Money has a price, as in `upper_bound.py`: the closest result of some multipliers counts.
        """
        if chart.sku not in self._known_counts:
            cloth = self._cloth.of(chart).items()
            self._known_counts[chart.sku] = [self._at(chart, *each) for each in cloth]
        return self._known_counts[chart.sku]

    def look_closer(self, chart: Chart, time_limit: TimeLimit, *, at_thread: bool) -> None:
        """Have `at_counts` return what is closer for a chart, by more work.

        Parameters
        ----------
        at_thread : bool
            Whether to look at what thread costs at each effective count, which takes longest.

        Raises
        ------
        OutOfTime
            If there is no time left.
        """
        with suppress(StateLimitReached):
            if self._others_together is None:
                asked = self.candidates, self.counted, self.most_goods, time_limit
                self._others_together = counted_others(*asked)
            if len(self._others_together):
                thread = self._thread_at_counts(chart, time_limit) if at_thread else None
                self._known_counts[chart.sku] = list(self._look_closer(chart, thread))

    def _look_closer(
        self, chart: Chart, thread: Mapping[Fraction | None, int] | None
    ) -> Iterator[SumAtCount]:
        """Yield what kits with a chart come to at each effective count.

        Parameters
        ----------
        thread : mapping, optional
            What thread costs at least at each effective count at which there may be a kit.
        """
        cloth = self._cloth.of(chart)
        if thread is None:
            floor = self._least_of_thread[chart.sku]
            thread = {} if floor is None else dict.fromkeys(cloth, floor)
        for count, pieces in cloth.items():
            if count not in thread:
                continue
            known, scores = self._at(chart, count, pieces), self._thread_scores(chart, count)
            if max(map(abs, scores)) < LARGE and self._reached_fits:
                known = self._closer(known, chart, pieces, scores, thread[count])
            yield known

    @cached_property
    def _reached_fits(self) -> bool:
        """Whether what other rows come to together, and what is asked, fit in 64 bits as scores."""
        others = self._others_together
        assert others is not None
        return SCORE_UNIT * (int(others.worth.max()) + self.least) < LARGE

    @cached_property
    def _least_of_thread(self) -> dict[str, int | None]:
        """What matched thread for each chart, by its sku, costs at least at any effective count."""
        skus = (chart.sku for chart in self.candidates.charts)
        return dict(zip(skus, thread_lower_bounds(self.candidates), strict=True))

    def _thread_at_counts(self, chart: Chart, time_limit: TimeLimit) -> dict[Fraction | None, int]:
        """Return by effective count what matched thread costs at least; counts with kits only."""
        alone = worthless(without_extras(with_chart(self.candidates, chart)))
        money = Subproblem.of_money(alone, self.most_goods, time_limit)
        return money.least_thread_costs()

    def _closer(
        self,
        known: SumAtCount,
        chart: Chart,
        pieces: Sequence[tuple[int, int]],
        scores: Sequence[int],
        least: int,
    ) -> SumAtCount:
        """Return what is known at a count, closer: with what other rows come to together.

        Parameters
        ----------
        scores : sequence of int
            Of matched thread at each multiplier.
        least : int
            What this costs at least, in minor units.
        """
        most, goods, others = -1, self.most_goods + 1, self._others_together
        assert others is not None
        extras: tuple[Candidate, ...] = ()
        for counted, cost in pieces:
            spent = others.cost + cost + chart.cost
            reached = others.worth + counted + self.counted.of_row(chart)
            left, lacking = self.most_goods - spent, SCORE_UNIT * (self.least - reached)
            thread = np.full_like(spent, LARGE)
            needed = np.full_like(spent, least)
            for rate, score in zip(self._rates, scores, strict=True):
                # Of more money than this the sum would leave 64 bits, and bounds nothing.
                few = left <= LARGE // max(1, rate)
                thread = np.where(few, np.minimum(thread, score + rate * (few * left)), thread)
                if rate:
                    needed = np.maximum(needed, -((score - lacking) // rate))
            counts = np.where((thread >= 0) & (left >= least), reached + thread // SCORE_UNIT, -1)
            most = max(most, int(counts.max()))
            total = spent + needed
            at = int(total.argmin())
            if int(total[at]) < goods:
                goods = int(total[at])
                taken = others.trace_back(int(others.cost[at]), int(others.worth[at]))
                extras = tuple(row for slot, row in taken.goods if slot is Slot.EXTRA)
        return SumAtCount(known.effective, min(known.most, most), max(known.goods, goods), extras)

    def _at(
        self, chart: Chart, count: Fraction | None, pieces: Sequence[tuple[int, int]]
    ) -> SumAtCount:
        """Return what kits with a chart come to at a count, with some pieces of fabric."""
        most, goods = LARGE, 0
        thread = self._thread_scores(chart, count)
        for rate, score in zip(self._rates, thread, strict=True):
            total = SCORE_UNIT * self.counted.of_row(chart) - rate * chart.cost
            total += self._others(rate) + score
            total += max(SCORE_UNIT * number - rate * cost for number, cost in pieces)
            most = min(most, (total + rate * self.most_goods) // SCORE_UNIT)
            if rate:
                goods = max(goods, -((total - SCORE_UNIT * self.least) // rate))
        return SumAtCount(count, most, goods)

    def _thread_scores(self, chart: Chart, count: Fraction | None) -> list[int]:
        """Return what matched thread for a chart scores at most at each multiplier."""
        shades = (chart.shades or ()) if self._matches else ()
        each = [self._thread.scores(asked, count, len(shades)) for asked in shades]
        return [sum(scores) for scores in zip(*each, strict=True)] or [0] * len(self._rates)

    @property
    def _matches(self) -> bool:
        return self.candidates.matches_thread

    @cached_property
    def _cloth(self) -> CountedCloth:
        return CountedCloth(self.candidates, self.counted)

    @cached_property
    def _thread(self) -> CountedThread:
        return CountedThread(self.candidates, self.counted, self._rates)

    @cached_property
    def _rates(self) -> list[int]:
        """Multipliers, from none at all to so dear that little is bought."""
        needs, extras = self.candidates.needs.values(), self.candidates.extras
        money = sum(max((row.cost for row in rows), default=0) for rows in (*needs, extras))
        dear = SCORE_UNIT * (self._others(0) // SCORE_UNIT + 1) / (min(money, self.most_goods) + 1)
        return sorted({0, *(int(dear * 2**power) for power in range(-6, 5))})

    def _others(self, rate: int) -> int:
        """Return what the rows beside chart, fabric and matched thread score at most."""
        if rate not in self._known_others:
            self._known_others[rate] = score_of_others(self.candidates, self.counted, rate)
        return self._known_others[rate]
