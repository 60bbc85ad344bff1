"""The candidates of each category: found now, known from another brief, or within a limit only."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cached_property, partial
from typing import NamedTuple

import numpy as np

from kitsolver.brief.brief import Brief
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.candidates.candidate import Candidate, Chart
from kitsolver.solve.candidates.candidates import known_shades
from kitsolver.solve.candidates.quantities import pools
from kitsolver.solve.presolve.admitted_rows import NEVER, AdmittedRows, admitted_rows
from kitsolver.solve.presolve.affordable import Affordable, paid_by_goods
from kitsolver.solve.presolve.from_rows import at_home
from kitsolver.solve.presolve.possible_charts import (
    ANY_DIFFERENCE,
    Costs,
    Matching,
    cheapest_of_any,
    least_fabric_costs,
)
from kitsolver.solve.presolve.row_memory import RowKeys, RowMemory
from kitsolver.solve.rules.rule import Mask, among

# Tells which of the charts that are admitted become candidates.
SelectedCharts = Callable[["CategoryRows"], Mask | None]
# The candidates of categories, as far as they are known from another brief.
Reused = Mapping[str, tuple[Candidate, ...]]


class _Floors(NamedTuple):
    """Goods totals below which no kit with each chart comes, in minor units.

    And which charts may be in a kit within the limit, and what their fabric costs at least.
    """

    least: Costs
    wanted: Mask
    fabric: Costs | None


class CategoryRows:
    """The candidates of each category of a catalogue for a brief.

    Parameters
    ----------
    thin : bool
        Whether to leave out rows that others dominate.
    reused : mapping of str to tuple of Candidate
        What is known of some categories.
    memory : RowMemory, optional
        Of the same catalogue, as thin.
    within : int, optional
        In minor units: rows of needs are left out with which every kit comes to more.
    charts : callable, optional
        Returns which of the admitted charts become candidates; None for all of them.
    """

    def __init__(
        self,
        catalogue: Catalogue,
        brief: Brief,
        *,
        thin: bool = False,
        reused: Reused | None = None,
        memory: RowMemory | None = None,
        within: int | None = None,
        charts: SelectedCharts | None = None,
    ) -> None:
        self.catalogue, self.brief, self.thin = catalogue, brief, thin
        self.reused, self.memory, self.within = reused or {}, memory, within
        self._selected = charts
        self.keys = RowKeys(brief, catalogue)
        self._needs: dict[str, AdmittedRows | None] = {}

    def of_need(self, category: str) -> tuple[Candidate, ...]:
        """Return the rows that may be the one choice of a need; of matched thread, all of them."""
        if category in self.reused:
            return self.reused[category]
        have, keep = self.brief.need(category).have, self.brief.choose.keep
        admitted = self.admitted(category)
        rows = () if admitted is None else admitted.candidates(self._wanted(category, admitted))
        if have:
            rows = (at_home(category, have, self.brief), *rows)
        kept = tuple(row for row in rows if row.sku in keep)
        return kept if kept and not self._is_matched(category) else rows

    def of_extras(self, category: str) -> tuple[Candidate, ...]:
        """Return the candidates of a category of extras."""
        if category in self.reused:
            return self.reused[category]
        rows = self._admitted_extras(category)
        return () if rows is None else rows.candidates()

    def _admitted_extras(self, category: str) -> AdmittedRows | None:
        """Return the rows of a category that may be extras; None if none is offered."""
        if not self.brief.extras.offers(category):
            return None
        find = partial(
            admitted_rows, self.catalogue, self.brief, category, need=False, thin=self.thin
        )
        return self._remembered(category, find)

    def admitted(self, need: str) -> AdmittedRows | None:
        """Return the rows of the shop that may meet a need; None if it has no such category."""
        if need not in self._needs:
            matched = self._is_matched(need)
            find = partial(
                admitted_rows,
                self.catalogue,
                self.brief,
                need,
                need=True,
                least_units=self._least_units(need),
                thin=self.thin and not matched and need != "chart",
                kept_alone=not matched,
            )
            self._needs[need] = self._remembered(need, find)
        return self._needs[need]

    def offers(self, category: str, sku: str) -> bool:
        """Tell whether a row of a category may enter a kit by itself, before any limits."""
        if category not in self.brief.holds:
            rows = self._admitted_extras(category)
        else:
            rows = self.admitted(category) if self.brief.buys(category) else None
        return rows is not None and bool((rows.table["sku"] == sku).any())

    @property
    def least_goods(self) -> int | None:
        """A goods total below which no kit comes, at first sight; None where nothing is known."""
        return None if self._affordable is None else self._affordable.least

    @property
    def least_goods_within(self) -> int | None:
        """The same by each chart's own cloth and thread; `NEVER` if no kit is within the limit."""
        floors = self._chart_floors
        return self.least_goods if floors is None else int(floors.min(initial=NEVER))

    def charts_of_kept_thread(self) -> Mask | None:
        """Return which charts have colours near all kept thread; None where that is not known."""
        threads = self.admitted("thread") if self.brief.buys("thread") else None
        kept = None if threads is None else self._kept("thread", threads)
        if kept is None or not kept.any() or self._matching is None:
            return None
        return self._matching.charts(kept)

    def _kept(self, category: str, rows: AdmittedRows) -> Mask:
        """Return which rows of a category the brief keeps."""
        return among(rows.table["sku"], self.catalogue.skus_of(category, self.brief.choose.keep))

    @property
    def too_dear_on_cloth(self) -> bool:
        """Whether every chart comes to more than the limit with the cheapest cloth of its own."""
        floors = self._cloth_floors
        return floors is not None and not floors.wanted.any()

    def _least_units(self, need: str) -> int | None:
        """Return the least units taken of a need whose units hang on other choices; else None."""
        if self._is_matched(need):
            # Each pool has skeins, or packs, of its own.
            return pools(self.brief)[0]
        return 1 if need == "fabric" else None

    def _is_matched(self, category: str) -> bool:
        return category == "thread" and self._matched

    @cached_property
    def _matched(self) -> bool:
        """Whether the colours of charts are known, so that thread is matched to them."""
        brief = self.brief
        if brief.buys("chart"):
            return True
        have = brief.need("chart").have if "chart" in brief.holds else None
        chart = at_home("chart", have, brief)
        return isinstance(chart, Chart) and known_shades((chart,))

    def _remembered(
        self, category: str, find: Callable[[], AdmittedRows | None]
    ) -> AdmittedRows | None:
        return self.memory.rows(self.keys.of(category), find) if self.memory else find()

    def _wanted(self, category: str, rows: AdmittedRows) -> Mask | None:
        """Return which rows of a need may be in a kit within the limit; None for all of them."""
        if self.within is None or self._affordable is None:
            selected = self._selected if category == "chart" else None
            return None if selected is None else selected(self)
        if category == "chart":
            return self._charts
        most = self.brief.exact_till.most_goods(self.within)
        wanted = self._affordable.rows(category, rows, most)
        floors = self._chart_floors if self._is_matched(category) else None
        charts = None if floors is None else self.admitted("chart")
        if floors is None or self._charts is None or charts is None:
            return wanted
        if not self._charts.any():
            return np.zeros_like(wanted)
        if self._matching is not None:
            enough = self._matching.threads_within(wanted, self._charts, most - floors)
        else:
            colours = int(charts.colour_counts[self._charts].max())
            enough = cheapest_of_any(rows, wanted, colours, self.brief)
        # Kept thread is paid for in any kit.
        return enough | (wanted & self._kept(category, rows))

    @cached_property
    def _charts(self) -> Mask | None:
        """Which charts may be in a kit within the limit; None where charts are not bought."""
        if self._chart_floors is None or self.within is None:
            return None
        return self._chart_floors <= self.brief.exact_till.most_goods(self.within)

    @cached_property
    def _chart_floors(self) -> Costs | None:
        """Goods totals below which no kit with each chart comes; None where charts are not bought.

        `NEVER` of charts that are in no kit within the limit.
        """
        on_cloth = self._cloth_floors
        if on_cloth is None or self.within is None or self._affordable is None:
            return None
        most = self.brief.exact_till.most_goods(self.within)
        floors, wanted, fabric = on_cloth
        if self._matching is not None and wanted.any():
            thread = self._matching.least_costs(wanted, self._affordable.served)
            floors = self._affordable.chart_floors(fabric, thread)
            wanted = wanted & (floors <= most)
        return np.where(wanted, floors, NEVER)

    @cached_property
    def _cloth_floors(self) -> _Floors | None:
        """The same with thread of any colour; None where charts are not bought."""
        charts = self.admitted("chart") if self.brief.buys("chart") else None
        if charts is None or self.within is None or self._affordable is None:
            return None
        most = self.brief.exact_till.most_goods(self.within)
        floors = self._affordable.chart_floors()
        wanted = floors <= most
        selected = None if self._selected is None else self._selected(self)
        if selected is not None:
            wanted &= selected
        possible = self.charts_of_kept_thread()
        if possible is not None:
            wanted &= possible
        fabrics = self.admitted("fabric") if self.brief.buys("fabric") else None
        fabric = None
        if fabrics is not None and wanted.any():
            needles = self.admitted("needle") if self.brief.buys("needle") else None
            fabric = least_fabric_costs(charts, fabrics, needles, self.brief, wanted)
            floors = self._affordable.chart_floors(fabric)
            wanted &= floors <= most
        return _Floors(floors, wanted, fabric)

    @cached_property
    def _matching(self) -> Matching | None:
        """How charts and threads match by their colours, where the brief has a tolerance."""
        if self.memory is None:
            return self._find_matching()
        return self.memory.matching(self.keys, self._find_matching)

    def _find_matching(self) -> Matching | None:
        brief = self.brief
        if not brief.buys("chart") or not brief.buys("thread") or brief.shades.free:
            return None
        if brief.shades.tolerance >= ANY_DIFFERENCE:
            return None
        charts, threads = self.admitted("chart"), self.admitted("thread")
        if charts is None or threads is None:
            return None
        return Matching(charts, threads, self.catalogue.thread_colours, brief)

    @cached_property
    def _affordable(self) -> Affordable | None:
        """What rows and the rest of a kit cost at least; None where goods alone do not tell."""
        if self.memory is None:
            return self._find_affordable()
        brief = self.brief
        kept = sorted(self.catalogue.categories_of(brief.choose.keep))
        key = self.keys.of(*brief.holds, *kept), brief.choose.keep, brief.till
        return self.memory.affordable(key, self._find_affordable)

    def _find_affordable(self) -> Affordable | None:
        brief, bought = self.brief, [need for need in self.brief.holds if self.brief.buys(need)]
        if self.catalogue.home is not None or not paid_by_goods(brief, self.catalogue):
            return None
        needs = {need: self.admitted(need) for need in bought}
        known = {need: rows for need, rows in needs.items() if rows is not None}
        matched = self._matched and {"chart", "thread"} <= known.keys()
        if len(known) < len(needs):
            return None
        if not matched and any(brief.need(need).have for need in bought):
            # A shade at home is all the thread that is needed then.
            return None
        kept = self.catalogue.categories_of(brief.choose.keep)
        extras = map(self._admitted_extras, sorted(kept.difference(brief.holds)))
        offered = [rows for rows in extras if rows is not None]
        return Affordable(brief, known, offered, matched=matched)
