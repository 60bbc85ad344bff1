"""What the kits of briefs are chosen from where quality counts for nothing."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from typing import Any

from kitsolver.brief.brief import DUMPED, Brief
from kitsolver.explain.no_kit.bare_brief import bare_brief
from kitsolver.explain.no_kit.other_goods import restocked, with_rows
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.till import NO_CAP
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.presolve.category_rows import CategoryRows, SelectedCharts
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.presolve.row_memory import RowMemory
from kitsolver.solve.time_limit import TimeLimit

# Of more rows, kits are first looked for among those that come to so much more than the least.
_MANY_ROWS = 500
_BEYOND = (1 + 1 / 64, 1 + 1 / 24, 1 + 1 / 8)


class BareOffers:
    """The rows and candidates of bare briefs of a catalogue; what briefs share is found once.

    A bare brief is what `bare_brief` returns. `stocked` says whether every row is taken to be in
    stock.

    Parameters
    ----------
    catalogue : Catalogue
        What is for sale.
    time_limit : TimeLimit
        Once it has run out, finding candidates and limits raises `OutOfTime`.
    memory : RowMemory, optional
        Of the rows admitted in the catalogue before.
    """

    def __init__(
        self, catalogue: Catalogue, time_limit: TimeLimit, memory: RowMemory | None = None
    ) -> None:
        self._catalogue, self._time_limit = catalogue, time_limit
        # By whether every row is taken to be in stock.
        self._memory = {True: RowMemory(), False: memory or RowMemory()}
        # By their key.
        self._briefs: dict[str, Brief] = {}
        self._latest: tuple[Mapping[str, Any], Brief] | None = None
        # By kept skus, and whether every row is taken to be in stock, the catalogue of these alone.
        self._kept: dict[tuple[tuple[str, ...], bool], tuple[Catalogue, RowMemory]] = {}

    @cached_property
    def _stocked(self) -> Catalogue:
        return restocked(self._catalogue)

    def brief_of(self, data: Mapping[str, Any]) -> Brief:
        """Return the brief of some data; the same data is read once."""
        # The data that was asked for last is often asked for again.
        if self._latest is None or self._latest[0] is not data:
            key = key_of(data)
            if key not in self._briefs:
                # What was read once keeps within all bounds of length and depth.
                self._briefs[key] = Brief.model_validate(dict(data), context=DUMPED)
            self._latest = data, self._briefs[key]
        return self._latest[1]

    def bare(self, data: Mapping[str, Any]) -> dict[str, Any]:
        """Return the bare brief of some data."""
        return bare_brief(data, self._catalogue, self.brief_of)

    def barred_keeps(self, bare: Mapping[str, Any], *, stocked: bool) -> tuple[str, ...]:
        """Return the kept skus that may not enter a kit by themselves.

        Only kept rows are looked at, unless limits make one row depend on the others.
        """
        keep = tuple(bare["choose"]["keep"])
        if not keep or bare["limits"]:
            return self.candidates(bare, stocked=stocked).unavailable_keeps
        key = keep, stocked
        if key not in self._kept:
            self._kept[key] = with_rows(self.goods(stocked), keep), RowMemory()
        kept, memory = self._kept[key]
        rows = CategoryRows(kept, self.brief_of(bare), thin=True, memory=memory)
        return tuple(sku for sku in sorted(keep) if not rows.offers(kept.row(sku)["category"], sku))

    def limits(
        self, bare: Mapping[str, Any], least: int, limit: int, *, stocked: bool
    ) -> Iterator[int]:
        """Yield limits to look within one after the other, the last of which is the true one.

        Of a large catalogue few rows are in kits that come to little more than the cheapest rows:
        first than those of all goods totals, and if that is no help, than those of each chart's own
        cloth and thread. None is yielded if every kit is known to come to more than the limit.
        """
        self._time_limit.check()
        many = len(self._catalogue) > _MANY_ROWS
        floor = self.rows(bare, stocked).least_goods if many else None
        if floor is None:
            yield limit
            return
        till = self.brief_of(bare).exact_till
        if floor > till.most_goods(limit):
            return
        first = min(till.payable(int(floor * _BEYOND[-1])), limit)
        each = [first, limit]
        if self.keeps_chart(bare):
            # Of a chart that is known little is gained by that, and nothing without a limit.
            each = [limit] if limit < NO_CAP else []
        for within in sorted({*each}):
            closer = self.rows(bare, stocked, within=within).least_goods_within or 0
            if closer <= till.most_goods(within):
                for near in (till.payable(int(closer * share) + 1) for share in _BEYOND):
                    if least <= near < limit:
                        yield near
                        least = near + 1
                        self._time_limit.check()
            elif within == limit:
                return
        yield limit

    def too_dear(self, bare: Mapping[str, Any], limit: int, *, stocked: bool) -> bool:
        """Tell whether it is seen on arrays that every kit comes to more than a limit."""
        floor = self.rows(bare, stocked, within=limit).least_goods_within
        return floor is not None and floor > self.brief_of(bare).exact_till.most_goods(limit)

    def keeps_chart(self, bare: Mapping[str, Any]) -> bool:
        """Tell whether a brief keeps a chart."""
        return "chart" in self._catalogue.categories_of(bare["choose"]["keep"])

    def rows(
        self, bare: Mapping[str, Any], stocked: bool, within: int | None = None
    ) -> CategoryRows:
        """Return the rows that may be in a kit; `within` may leave rows out."""
        return CategoryRows(
            self.goods(stocked),
            self.brief_of(bare),
            thin=True,
            memory=self._memory[stocked],
            within=within,
        )

    def candidates(
        self,
        bare: Mapping[str, Any],
        *,
        stocked: bool,
        within: int | None = None,
        charts: SelectedCharts | None = None,
    ) -> Candidates:
        """Return what a kit may be chosen from; `within` and `charts` may leave rows out."""
        return find_candidates(
            self.goods(stocked),
            self.brief_of(bare),
            thin=True,
            memory=self._memory[stocked],
            within=within,
            charts=charts,
            time_limit=self._time_limit,
        )

    def goods(self, stocked: bool) -> Catalogue:
        """Return the catalogue."""
        return self._stocked if stocked else self._catalogue


def key_of(data: Mapping[str, Any] | Sequence[Any]) -> str:
    """Return what equal data has in common, as text."""
    return json.dumps(data, sort_keys=True)
