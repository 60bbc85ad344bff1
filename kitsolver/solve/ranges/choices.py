"""What kits of a range are chosen from, by their share of the stock.

Kits that differ only by their cap are chosen from the same rows, and what is found out about a
chart holds for all of them.
"""

from __future__ import annotations

from collections.abc import Collection, Hashable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import cached_property
from typing import NamedTuple

import numpy as np

from kitsolver.brief.choosing import leaving_out
from kitsolver.brief.range import RangeKit
from kitsolver.shop.catalogue import UNLIMITED, Catalogue
from kitsolver.solve.candidates.candidate import Chart
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.subproblems import Subproblems
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.presolve.row_memory import RowMemory
from kitsolver.solve.time_limit import TimeLimit

# Skus with the most units that one copy of a kit may take.
Share = frozenset[tuple[str, int]]

# The share of a kit that may take what it likes.
WHOLE: Share = frozenset()

# For so many shares what was found is kept.
_MOST_SHARES = 64
# So many charts come near the best of kits with one cap.
_FEW = 32


def with_limit(share: Share, sku: str, most: int) -> Share:
    """Return a share with a closer limit to one sku."""
    limits = dict(share)
    limits[sku] = min(most, limits.get(sku, most))
    return frozenset(limits.items())


def but_for_the_cap(kit: RangeKit) -> Hashable:
    """Return what kits have in common that are chosen from the same rows."""
    brief = kit.brief.model_copy(update={"cap": None, "cap_per_head": None, "title": ""})
    return kit.copies, brief.model_dump_json()


class Choices:
    """The candidates of kits that differ only by their cap, and their charts.

    Most charts of a large shop cannot come near the best, and setting a search up for all of them
    takes longer than the search. So the few that come near by their upper bounds are kept apart.

    Parameters
    ----------
    kits : sequence of RangeKit
        With equal `but_for_the_cap`.

    Raises
    ------
    OutOfTime
        If candidates are not found in time.
    """

    def __init__(
        self, kits: Sequence[RangeKit], catalogue: Catalogue, time_limit: TimeLimit
    ) -> None:
        self.time_limit = time_limit
        self.brief, self.caps = kits[0].brief, sorted({kit.brief.total_cap for kit in kits})
        self.goods = for_copies(catalogue, kits[0].copies)
        self._known: dict[Share, Found] = {}
        self._memory = RowMemory()

    @cached_property
    def whole(self) -> Found:
        """All candidates, and all charts."""
        candidates = find_candidates(self.goods, self.brief, thin=True, time_limit=self.time_limit)
        spendable = [candidates.most_goods(cap) for cap in self.caps]
        return Found(candidates, Subproblems(candidates, min(spendable), max(spendable)))

    @cached_property
    def few(self) -> Found:
        """The candidates with those charts only that come near the best."""
        charts = self.whole.candidates.charts
        near = sorted({number for cap in self.caps for number in self._order(cap)[:_FEW]})
        return self.whole.with_charts([charts[number] for number in near])

    def near_the_best(self, share: Share) -> Found:
        """Return the candidates within a share, with the few charts that come near the best.

        All of these charts are there, even if nothing may be taken of one: so what is known of
        them holds for every share.
        """
        of_rows = share - self._of_charts(share)
        found = self._near(of_rows)
        for looser, other in self._known.items():
            # Limits of a brief may bar other charts where fewer rows are left.
            same = other.candidates.charts == found.candidates.charts
            if looser < of_rows and same:
                found.charts.note_all_of(other.charts)
        return found

    def _near(self, share: Share) -> Found:
        if not share:
            return self._known.setdefault(share, self.few)
        if share not in self._known:
            # What is known of thread holds wherever the same thread may be taken.
            of_thread = self._of_category(share, "thread")
            base = self.few if share == of_thread else self._near(of_thread)
            if len(self._known) >= _MOST_SHARES:
                del self._known[next(iter(self._known))]
            self._known[share] = self._within(share, base)
        return self._known[share]

    def all_within(self, share: Share) -> Found:
        """Return the candidates within a share, with all charts."""
        return self._within(share - self._of_charts(share), self.whole)

    @cached_property
    def beyond_few(self) -> dict[int, Fraction]:
        """By cap, in weighed points, what no kit with another chart than those few exceeds.

        It is below zero if there is no other chart.
        """
        few = {chart.sku for chart in self.few.candidates.charts}
        candidates, bounds = self.whole.candidates, self.whole.charts.upper_bounds
        beyond = {}
        for cap in self.caps:
            rest = (n for n in self._order(cap) if candidates.charts[n].sku not in few)
            number = next(rest, None)
            beyond[cap] = Fraction(-1)
            if number is not None:
                at = bounds.at(candidates.most_goods(cap))
                beyond[cap] = bounds.figure(at[number], number)
        return beyond

    def charts_of(self, share: Share) -> set[str]:
        """Return the charts of which a share lets nothing be taken."""
        return {sku for sku, _ in self._of_charts(share)}

    def _of_charts(self, share: Share) -> Share:
        """Return what a share says of charts to stitch of which nothing may be taken.

        A chart that is an extra is left out of the candidates, as any other row is.
        """
        if "chart" not in self.brief.holds:
            return frozenset()
        return frozenset(one for one in self._of_category(share, "chart") if not one[1])

    def _of_category(self, share: Share, category: str) -> Share:
        return frozenset(one for one in share if self._category(one[0]) == category)

    def _order(self, cap: int) -> list[int]:
        """Return the numbers of the charts that a kit may hold, the highest bound first."""
        if self.whole.candidates.infeasible:
            return []
        bounds = self.whole.charts.upper_bounds
        at = bounds.at(self.whole.candidates.most_goods(cap)) / bounds.colours
        order = np.argsort(-at, kind="stable")
        return [int(number) for number in order if at[number] >= 0]

    def _within(self, share: Share, found: Found) -> Found:
        if not share:
            return found
        some = {sku: most for sku, most in share if most > 0}
        none = {sku for sku, most in share if not most}
        limited = {self._category(sku) for sku in some}
        goods = _limited(self.goods, some, limited) if some else self.goods
        brief = leaving_out(self.brief, none)
        candidates = find_candidates(
            goods,
            brief,
            thin=True,
            known=found.candidates,
            limited=limited,
            # With less in stock than before, rows are found again.
            memory=None if some else self._memory,
            time_limit=self.time_limit,
        )
        return found.with_less(candidates)

    def _category(self, sku: str) -> str:
        return self.goods.row(sku)["category"]


class Found(NamedTuple):
    """Candidates, and their charts."""

    candidates: Candidates
    charts: Subproblems

    def with_charts(self, charts: Sequence[Chart]) -> Found:
        """Return the same with some charts only."""
        needs = {**self.candidates.needs, "chart": tuple(charts)}
        candidates = replace(self.candidates, needs=needs)
        bounds = self.charts.upper_bounds
        return Found(candidates, Subproblems(candidates, bounds.least, bounds.most))

    def with_less(self, candidates: Candidates) -> Found:
        """Return other candidates, of which there are no more; bounds of more rows still hold."""
        bounds = self.charts.upper_bounds
        same = bounds if candidates.charts == self.candidates.charts else None
        charts = Subproblems(
            candidates, bounds.least, bounds.most, upper_bounds=same, known=self.charts
        )
        return Found(candidates, charts)


def for_copies(catalogue: Catalogue, copies: int) -> Catalogue:
    """Return a catalogue with the stock that each of several copies may take.

    What is on the shelf for all of them stays in the column ``shared_stock``, for explanations.
    """
    if copies == 1:
        return catalogue
    rows = {
        category: goods.with_columns(
            shared_stock=goods["stock"],
            stock=np.where(goods["stock"] < UNLIMITED, goods["stock"] // copies, UNLIMITED),
        )
        for category, goods in catalogue.rows.items()
    }
    return replace(catalogue, rows=rows)


def _limited(
    catalogue: Catalogue, limits: Mapping[str, int], categories: Collection[str]
) -> Catalogue:
    """Return a catalogue with no more than some units of some rows of some categories."""
    rows = dict(catalogue.rows)
    for category in categories:
        goods = rows[category]
        most = np.array([limits.get(sku, UNLIMITED) for sku in goods["sku"]], dtype=np.int64)
        rows[category] = goods.with_columns(stock=np.minimum(goods["stock"], most))
    return replace(catalogue, rows=rows)
