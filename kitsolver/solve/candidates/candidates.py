"""Everything that one kit may be chosen from."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property
from typing import cast

from kitsolver.brief.brief import Brief
from kitsolver.shop.till import Till
from kitsolver.solve.candidates.candidate import Candidate, Chart, Fabric, Place, Thread
from kitsolver.solve.candidates.places import Places

# Among more free colours than these, ties are without number: to break them would take minutes.
_MANY_COLOURS = 300


@dataclass(frozen=True)
class Candidates:
    """Everything that one kit may be chosen from.

    Parameters
    ----------
    brief : Brief
        What is asked.
    needs : mapping of str to tuple of Candidate
        The candidates of each need, sorted by sku. What is at home stands alone in its need.
        ``chart`` and ``fabric`` always have an entry: where the brief holds none, one unknown.
    extras : tuple of Candidate
        Rows that may be bought with what is left over, sorted by sku.
    weights : mapping of str to int
        Weights of the needs that are bought, in whole parts.
    parts : int
        How many parts make a weight of 1.
    near : Places
        For every charted colour and kind of thread the places within the tolerance; empty where
        thread is not matched to charts.
    tied_by : tuple of str
        The rules that tie choices in ways that a goods total does not tell.
    forced : frozenset of str
        The categories of extras of which one row is taken.
    """

    brief: Brief
    needs: Mapping[str, tuple[Candidate, ...]]
    extras: tuple[Candidate, ...]
    weights: Mapping[str, int]
    parts: int
    near: Places = field(default_factory=Places, repr=False)
    tied_by: tuple[str, ...] = ()
    forced: frozenset[str] = frozenset()

    @property
    def charts(self) -> tuple[Chart, ...]:
        """The charts to choose from; one unknown where none is known."""
        return cast(tuple[Chart, ...], self.needs["chart"])

    @property
    def fabrics(self) -> tuple[Fabric, ...]:
        """The fabrics to choose from; one unknown where none is known."""
        return cast(tuple[Fabric, ...], self.needs["fabric"])

    @property
    def threads(self) -> tuple[Thread, ...]:
        """The thread rows, and the shades at home."""
        return cast(tuple[Thread, ...], self.needs["thread"])

    @cached_property
    def matches_thread(self) -> bool:
        """Whether thread is matched to chart colours, rather than chosen as one row."""
        return "thread" in self.weights and known_shades(self.charts)

    @property
    def free(self) -> bool:
        """Whether the chart's colours are only places, for any thread colours."""
        return self.matches_thread and self.brief.shades.free

    @property
    def many_colours(self) -> bool:
        """Whether colours are free, and there are so many that ties are not broken."""
        return self.free and max(map(len, self.near.values()), default=0) > _MANY_COLOURS

    @property
    def tied(self) -> bool:
        """Whether choices are tied in ways that a goods total does not tell.

        Then a chart's subproblem is a model, and no sum of frontiers.
        """
        return bool(self.tied_by)

    @property
    def relaxed_by_frontiers(self) -> bool:
        """Whether frontiers hold every kit, and perhaps some that rules of one's own bar.

        Then frontiers bound the kits, and a kit of theirs that keeps to the rules is one.
        """
        return set(self.tied_by) <= {"limits", "pairs", "alike"}

    @property
    def limited_beside_goods(self) -> bool:
        """Whether the goods total does not say if a kit may be bought."""
        beside = {"cap", "margin"} & set(self.tied_by)
        return bool(beside) or self.brief.rules_look_at("price")

    @cached_property
    def own_tax_rates(self) -> frozenset[Fraction]:
        """The rates that rows are taxed at where that is not the till's."""
        return frozenset(row.tax_rate for row in self.rows if row.tax_rate is not None)

    @cached_property
    def paid_by_row(self) -> bool:
        """Whether what is payable depends on which rows are bought, beside the goods total."""
        downloads = self.brief.exact_till.delivery > 0 and any(row.download for row in self.rows)
        return downloads or bool(self.own_tax_rates)

    def most_goods(self, cap: int) -> int:
        """Return a goods total that no kit within a cap exceeds, in minor units."""
        till, rounding = self._cheapest_till
        return till.most_goods(cap + rounding)

    def least_paid(self, goods: int) -> int:
        """Return the least that is paid for goods of some total or more, in minor units."""
        till, rounding = self._cheapest_till
        return max(0, till.least(goods) - rounding)

    @cached_property
    def _cheapest_till(self) -> tuple[Till, int]:
        """A till that asks no more than the brief's, and how far rounding may go below it."""
        till = self.brief.exact_till
        if not self.paid_by_row:
            return till, 0
        rate = min(self.own_tax_rates | {till.tax_rate})
        # The goods of each rate are rounded twice, by up to half a minor unit.
        return replace(till, tax_rate=rate, delivery=0), len(self.own_tax_rates) + 2

    @property
    def rows(self) -> tuple[Candidate, ...]:
        """Every row that may enter a kit, and what is at home."""
        return (*self.extras, *(row for rows in self.needs.values() for row in rows))

    @property
    def plain_needs(self) -> list[str]:
        """The needs of which one row is chosen as it is: all but chart, fabric, matched thread."""
        apart = {"chart", "fabric"} | ({"thread"} if self.matches_thread else set())
        return sorted(set(self.needs) - apart)

    @property
    def skus(self) -> frozenset[str]:
        """Every sku that may enter a kit."""
        return frozenset(row.sku for row in self.rows if row.sku)

    @property
    def unavailable_keeps(self) -> tuple[str, ...]:
        """The kept skus that may not enter, so that no kit can hold them."""
        keep = set(self.brief.choose.keep)
        return tuple(sorted(keep - {row.sku for row in self.rows if row.sku in keep}))

    @property
    def infeasible(self) -> bool:
        """Whether a need or forced extra has no candidate, or what is kept makes no kit."""
        offered = {extra.category for extra in self.extras}
        lacking = not all(self.needs.values()) or not self.forced <= offered
        return lacking or bool(self.unavailable_keeps or self.competing_keeps) or self._too_many

    @property
    def _too_many(self) -> bool:
        """Whether more extras are kept, or forced, than are allowed."""
        keep, most = self.brief.choose.keep, self.brief.extras.most
        if most is None or not (keep or self.forced):
            return False
        kept = {extra.category for extra in self.extras if extra.sku in keep}
        return len(kept | self.forced) > most

    @property
    def competing_keeps(self) -> dict[str, list[str]]:
        """By category the kept skus that would have to share one place in the kit."""
        if not self.brief.choose.keep:
            return {}
        apart = {"thread"} if self.matches_thread else set()
        needs = (row for need, rows in self.needs.items() if need not in apart for row in rows)
        kept: dict[str, list[str]] = defaultdict(list)
        for row in (*needs, *sorted(self.extras, key=lambda extra: extra.category)):
            if row.sku in self.brief.choose.keep:
                kept[row.category].append(row.sku)
        return {category: sorted(skus) for category, skus in kept.items() if len(skus) > 1}

    def only(self, skus: Collection[str]) -> Candidates:
        """Return these rows alone, and what is at home; places for the charts' colours only."""
        allowed = {*skus, ""}
        asked = {(one.colour, one.kind) for chart in self.charts for one in chart.shades or ()}
        return replace(
            self,
            needs={
                need: tuple(row for row in rows if row.sku in allowed)
                for need, rows in self.needs.items()
            },
            extras=tuple(extra for extra in self.extras if extra.sku in allowed),
            near=Places({key: self.near.near[key] for key in asked & self.near.keys()}).where(
                lambda thread: thread.sku in allowed
            ),
        )

    def places(self, chart: Chart) -> list[list[Place]]:
        """Return for each colour of a chart, in its order, the places within the tolerance."""
        return [self.near.get((asked.colour, asked.kind), []) for asked in chart.shades or ()]


def known_shades(charts: tuple[Chart, ...]) -> bool:
    """Tell whether charts say their colours; the shop's always do, even if there are none."""
    return all(chart.shades is not None for chart in charts)
