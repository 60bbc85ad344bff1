"""Sums that are limited beside what is paid: a margin's trade cost, and limits of one's own.

Candidates at other prices turn such a sum into a goods total. So the lower bounds and frontiers
that find the cheapest kit also find the least that a sum comes to: if that is above its limit,
there is no kit. Several sums are tested at once as one, each weighed so that its limit counts
alike: a kit within all limits is within their sum (a surrogate constraint; Glover 1965, recalled
from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import cached_property
from heapq import heapify, heappop, heappush
from math import floor, lcm
from typing import NamedTuple, TypeVar, cast

from kitsolver.shop.till import NO_CAP
from kitsolver.solve.candidates.candidate import Candidate, Chart, Thread
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.places import NearPlaces, Places
from kitsolver.solve.decomposition.greatest_sums import GreatestSum
from kitsolver.solve.decomposition.upper_bound import goods_lower_bounds
from kitsolver.solve.rules import units_with
from kitsolver.solve.rules.limits import bounds_of, measure_of
from kitsolver.solve.time_limit import TimeLimit

_Row = TypeVar("_Row", bound=Candidate)
_PriceOf = Callable[[Candidate], int]
# What a limit counts where several sums are weighed together.
_WHOLE = 2**24
# So often a chart is looked at closer where a least is asked of a sum.
_CLOSEST = 2
# Prices beyond this could leave 64 bits once they are added up.
_MOST_PRICE = 2**36


class LimitedSum:
    """What a row counts for a sum, a unit, and the most that the sum may be.

    Parameters
    ----------
    price_of : callable
        Returns what a unit of a row counts.
    most : int
        The most that the sum may be.
    """

    def __init__(self, price_of: _PriceOf, most: int) -> None:
        self.price_of, self.most = price_of, most
        # Branches have rows in common: each is known by its identity, which lasts while it is kept.
        self._rows: dict[int, tuple[Candidate, Candidate]] = {}
        self._threads: dict[int, tuple[Sequence[Thread], tuple[Thread, ...]]] = {}

    def priced(self, candidates: Candidates) -> Candidates:
        """Return candidates whose prices are what they count, with places for their charts only."""
        asked = {(one.colour, one.kind) for row in candidates.charts for one in row.shades or ()}
        near = {key: candidates.near.near[key] for key in candidates.near.near.keys() & asked}
        # Free colours of a kind share their places.
        distinct = {id(one): one for one in near.values()}
        priced = {key: self._near_priced(one) for key, one in distinct.items()}
        return replace(
            candidates,
            needs={need: self._priced(rows) for need, rows in candidates.needs.items()},
            extras=self._priced(candidates.extras),
            near=Places({key: priced[id(one)] for key, one in near.items()}),
        )

    def _priced(self, rows: Sequence[_Row]) -> tuple[_Row, ...]:
        return tuple(map(self._row_priced, rows))

    def _row_priced(self, row: _Row) -> _Row:
        known = self._rows.get(id(row))
        if known is None:
            priced = replace(row, price=self.price_of(row) if row.sku else 0)
            known = self._rows[id(row)] = row, priced
        return cast(_Row, known[1])

    def _near_priced(self, near: NearPlaces) -> NearPlaces:
        if id(near.threads) not in self._threads:
            self._threads[id(near.threads)] = near.threads, self._priced(near.threads)
        return replace(near, threads=self._threads[id(near.threads)][1])


def limited_sums(candidates: Candidates, cap: int) -> list[LimitedSum]:
    """Return the sums beside what is paid that are limited, and of several all of them as one.

    Limits that count lines, or that ask for a least, are left out.

    Parameters
    ----------
    cap : int
        The most that is paid, in minor units: where there is one, the goods total is weighed, too.
    """
    alone = [one for one in _each(candidates) if _small(one, candidates)]
    if not alone:
        return []
    weighed = list(alone)
    if cap < NO_CAP:
        weighed.append(LimitedSum(lambda row: row.price, candidates.most_goods(cap)))
    together = [_together(weighed)] if len(weighed) > 1 else []
    return [*alone, *together]


class PricedSum(NamedTuple):
    """Candidates whose prices are what counts for a limited sum, and the most that it may be.

    `bounds` is for each chart, by its sku, a sum below which none of its kits comes; None for a
    chart that no kit can hold.
    """

    candidates: Candidates
    most: int
    bounds: Mapping[str, int | None]


class LimitedSums:
    """The sums that are limited beside what is paid, where no more than a limit is paid."""

    def __init__(self, candidates: Candidates, limit: int, time_limit: TimeLimit) -> None:
        self._candidates, self._limit, self._time_limit = candidates, limit, time_limit
        # By their skus, the charts that are known to go with no fabric.
        self._without_fabric: set[str] = set()

    def of_branch(self, branch: Candidates, limit: int) -> LimitedSums:
        """Return the sums of a branch of these candidates, where no more than a limit is paid."""
        found = LimitedSums(branch, limit, self._time_limit)
        # A branch has no other fabrics.
        found._without_fabric = set(self._without_fabric)
        if limit == self._limit:
            found._sums = self._sums
        return found

    @cached_property
    def _sums(self) -> list[LimitedSum]:
        return limited_sums(self._candidates, self._limit)

    @cached_property
    def priced(self) -> tuple[PricedSum, ...]:
        """What each of them comes to at least; computed when first asked for."""
        found, candidates = [], self._candidates
        for one in self._sums:
            priced = one.priced(candidates)
            skus = [chart.sku for chart in candidates.charts]
            bounds = dict(zip(skus, goods_lower_bounds(priced), strict=True))
            found.append(PricedSum(priced, one.most, bounds))
        return tuple(found)

    @cached_property
    def greatest(self) -> tuple[GreatestSum, ...]:
        """The sums of which a least is asked, where it is known what they come to at most."""
        rules = (rule for rule in self._candidates.brief.limits if rule.least)
        each = (GreatestSum(self._candidates, rule, self._limit) for rule in rules)
        return tuple(one for one in each if one.known)

    def promising(self, limit: int, *, any_kit: bool = False) -> Iterator[tuple[int, Chart]]:
        """Yield the charts that no bound rules out within a limit, the cheapest first.

        A lower bound of what is paid with each comes with it.

        Parameters
        ----------
        any_kit : bool
            Whether any kit will do. Where nothing limits what is paid, a chart is then yielded
            before others are looked at closer.
        """
        soon = any_kit and limit >= NO_CAP
        charts = self._candidates.charts
        # The bounds of a chart alone are found as it is looked into.
        each = [0] if len(charts) == 1 else goods_lower_bounds(self._candidates)
        # How often a chart was looked at comes after its sku: bounds come closer each time.
        waiting = [
            (goods, chart.sku, 0, chart)
            for goods, chart in zip(each, charts, strict=True)
            if goods is not None
        ]
        heapify(waiting)
        while waiting:
            goods, sku, looked_at, chart = heappop(waiting)
            # What is paid never falls as goods rise, in this bound.
            bound = self._candidates.least_paid(goods)
            if bound > limit:
                return
            if looked_at and (looked_at > _CLOSEST or not self.greatest):
                yield bound, chart
                continue
            if looked_at:
                at_thread = looked_at == _CLOSEST
                for one in self.greatest:
                    one.look_closer(chart, self._time_limit, at_thread=at_thread)
            if not self.broken(chart):
                closer = max((one.goods(chart) for one in self.greatest), default=0)
                goods = goods if soon else max(goods, closer)
                heappush(waiting, (goods, sku, looked_at + 1, chart))

    def broken(self, chart: Chart) -> bool:
        """Tell whether no fabric goes with a chart, or every kit with it breaks some limit."""
        least = [(one.bounds[chart.sku], one.most) for one in self.priced]
        if any(bound is None or bound > most for bound, most in least):
            return True
        if any(one.at_most(chart) < one.least for one in self.greatest):
            return True
        if chart.sku not in self._without_fabric:
            fabrics, brief = self._candidates.fabrics, self._candidates.brief
            if any(units_with(chart, row, brief) is not None for row in fabrics):
                return False
            self._without_fabric.add(chart.sku)
        return True


def _each(candidates: Candidates) -> Iterator[LimitedSum]:
    brief = candidates.brief
    if brief.most_trade_cost is not None:
        yield LimitedSum(lambda row: row.measure("trade_cost"), brief.most_trade_cost)
    at_home = any(row.home for row in candidates.rows) or any(
        thread.listed for thread in candidates.needs.get("thread", ()) if isinstance(thread, Thread)
    )
    for limit in brief.limits:
        _, most = bounds_of(limit, brief)
        # Prices count what is bought only, and units of a line.
        if most is None or limit.column is None or at_home:
            continue
        name = measure_of(limit)
        parts = lcm(
            *(Fraction(row.measure(name)).denominator for row in candidates.rows if row.sku)
        )
        yield LimitedSum(_measure(name, parts), floor(most * parts))


def _measure(name: str, parts: int) -> _PriceOf:
    return lambda row: int(Fraction(row.measure(name)) * parts)


def _small(one: LimitedSum, candidates: Candidates) -> bool:
    """Tell whether a sum counts nothing below zero, and nothing that leaves 64 bits."""
    counts = [one.price_of(row) for row in candidates.rows if row.sku]
    return one.most >= 0 and all(0 <= count <= _MOST_PRICE for count in counts)


def _together(sums: Sequence[LimitedSum]) -> LimitedSum:
    """Return several sums as one."""

    def price_of(row: Candidate) -> int:
        whole = sum(_WHOLE * one.price_of(row) // max(1, one.most) for one in sums)
        return min(whole, _MOST_PRICE)

    # A limit of 0 counts nothing itself.
    return LimitedSum(price_of, _WHOLE * sum(one.most > 0 for one in sums))
