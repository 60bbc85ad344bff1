"""A brief of which some demands are dropped or eased, and whether it has a kit then."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations
from typing import Any, Protocol

from kitsolver.brief.brief import Brief
from kitsolver.explain.mend import Path, replaced, value_at
from kitsolver.explain.no_kit.cheapest_kit import CheapestKitOracle
from kitsolver.explain.no_kit.telling_charts import BestMatched, best_matched, smallest_designs
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.till import NO_CAP
from kitsolver.solve.candidates.candidate import Candidate
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.greatest_kit import greatest_kit
from kitsolver.solve.outcome import Kit
from kitsolver.solve.tally import Tally, tally


class Droppable(Protocol):
    """Something that a brief demands and that can be dropped from it."""

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief without the demand."""


@dataclass(frozen=True)
class RelaxedBrief:
    """A brief of which some demands are dropped or eased.

    Parameters
    ----------
    oracle : CheapestKitOracle
        Of the catalogue.
    brief : Brief
        As it was asked, with all its demands.
    data : mapping
        The brief as it is now, in the form in which pydantic dumps it as JSON.
    capped : bool
        Whether the cap still holds.
    stocked : bool
        Whether every row is taken to be in stock.
    may_be_bought : tuple of str
        Needs that are met by what is at home, or are bought if that makes a kit.
    """

    oracle: CheapestKitOracle
    brief: Brief
    data: Mapping[str, Any]
    capped: bool = True
    stocked: bool = False
    may_be_bought: tuple[str, ...] = ()

    @classmethod
    def of(cls, brief: Brief, oracle: CheapestKitOracle) -> RelaxedBrief:
        """Return a brief with all its demands."""
        return cls(oracle, brief, brief.model_dump(mode="json"))

    def without(self, demands: Iterable[Droppable]) -> RelaxedBrief:
        """Return the brief with some demands dropped."""
        relaxed = self
        for demand in demands:
            relaxed = demand.drop(relaxed)
        return relaxed

    def with_value(self, path: Path, value: Any) -> RelaxedBrief:
        """Return the brief with one key replaced."""
        return replace(self, data=replaced(self.data, path, value))

    def works_with(self, path: Path, value: Any, *, least_next: bool = True) -> bool:
        """Tell whether there is a kit once one key is replaced.

        Parameters
        ----------
        least_next : bool
            Whether it may be asked next what is paid for it.
        """
        changed = self.with_value(path, value)
        return changed._has_kit(changed._cap, least_next=least_next)

    def value(self, *path: str) -> Any:
        """Return what stands at a key of the brief."""
        return value_at(self.data, path)

    @property
    def variants(self) -> Iterator[Mapping[str, Any]]:
        """Every brief that this one may stand for: a need at home is used, or it is bought."""
        for number in range(len(self.may_be_bought) + 1):
            for bought in combinations(self.may_be_bought, number):
                data = self.data
                for need in bought:
                    data = replaced(data, ("needs", need, "have"), False)
                yield data

    @property
    def least_paid(self) -> int | None:
        """The least that is paid for a kit in minor units, whatever the cap; None if none."""
        found = self._cheapest_variant()
        return None if found is None else found[1]

    @property
    def least_paid_within(self) -> int | None:
        """The least that is paid for a kit within the cap, in minor units; None if none."""
        found = self._cheapest_variant(self._cap)
        return None if found is None else found[1]

    @property
    def possible(self) -> bool:
        """Whether there is a kit."""
        return self.has_kit_within(self._cap)

    def has_kit_within(self, limit: int) -> bool:
        """Tell whether there is a kit that comes to no more than a limit, in minor units."""
        return self._has_kit(limit, least_next=False)

    def _has_kit(self, limit: int, *, least_next: bool) -> bool:
        asked = {"stocked": self.stocked, "least_next": least_next}
        return any(self.oracle.has_kit(data, limit, **asked) for data in self.variants)

    @property
    def known_to_have_kit(self) -> bool:
        """Whether a kit of the brief as it is now is known already, whatever is paid for it."""
        return self.oracle.knows_kit(self.data, stocked=self.stocked)

    @property
    def keeps_chart(self) -> bool:
        """Whether a chart is kept."""
        return "chart" in self.catalogue.categories_of(self.value("choose", "keep"))

    @property
    def seen_too_dear(self) -> bool:
        """Whether it is seen, without a search, that every kit comes to more than the cap."""
        cap = self._cap
        each = (self.oracle.too_dear(data, cap, stocked=self.stocked) for data in self.variants)
        return all(each)

    @property
    def some_kit(self) -> Tally | None:
        """What some kit adds up to, where a rule of one's own ties choices; None if none."""
        cap = self._cap
        each = (self.oracle.some_kit(data, cap, stocked=self.stocked) for data in self.variants)
        return next((kit for kit in each if kit is not None), None)

    def greatest_sums(self, name: str) -> tuple[Tally, bool] | None:
        """Return what a kit adds up to that comes to much for a limit; None if not known.

        With it comes whether no other kit comes to more.
        """
        if self.may_be_bought:
            return None
        candidates = self.candidates
        (rule,) = (rule for rule in candidates.brief.limits if rule.name == name)
        found = greatest_kit(candidates, rule, self._cap, self.oracle.time_limit)
        return found and (tally(found.selection, found.candidates), found.proven)

    @property
    def _cap(self) -> int:
        """The most that is paid, in minor units."""
        return self.now.total_cap if self.capped else NO_CAP

    @property
    def cheapest_sums(self) -> Tally | None:
        """What a kit within the cap for which the least is paid adds up to; None if none."""
        found = self._cheapest_variant(self._cap) if self.possible else None
        return None if found is None else self.oracle.cheapest_sums(*found, stocked=self.stocked)

    @property
    def cheapest_kit(self) -> Kit | None:
        """A kit for which the least is paid, whatever the cap; None if there is none."""
        found = self._cheapest_variant()
        return None if found is None else self.oracle.cheapest_kit(*found, stocked=self.stocked)

    def _cheapest_variant(self, cap: int = NO_CAP) -> tuple[Mapping[str, Any], int] | None:
        """Return the variant with a kit for which the least is paid, and that sum.

        None without a kit within a cap, in minor units.
        """
        found, limit = None, cap
        for data in self.variants:
            paid = self.oracle.least_paid(data, stocked=self.stocked, at_most=limit)
            if paid is not None:
                found, limit = (data, paid), paid - 1
        return found

    @cached_property
    def now(self) -> Brief:
        """The brief as it is now."""
        return self.oracle.brief_of(self.data)

    @cached_property
    def candidates(self) -> Candidates:
        """What a kit may be chosen from where quality counts for nothing."""
        return self.oracle.candidates(self.data, stocked=self.stocked)

    @cached_property
    def affordable(self) -> Candidates:
        """The same, of which rows may be left out with which every kit comes to too much."""
        return self.oracle.candidates(self.data, stocked=self.stocked, within=self._cap)

    @property
    def most_goods(self) -> int:
        """A goods total that no kit exceeds, in minor units."""
        return self.affordable.most_goods(self._cap)

    @cached_property
    def designs(self) -> Candidates:
        """The same without thread and larger charts, where only designs and fabrics count."""
        data = self.data
        if data["needs"].get("thread") is not None and "thread" in data["holds"]:
            data = replaced(data, ("needs", "thread", "have"), True)
        return self.oracle.candidates(data, stocked=self.stocked, charts=smallest_designs)

    @cached_property
    def best_matched(self) -> BestMatched | None:
        """The chart whose colours are best matched by thread, where that is seen on arrays."""
        return best_matched(self.oracle.rows(self.data, stocked=self.stocked))

    def meeting(self, need: str) -> Sequence[Candidate]:
        """Return what may meet a need by itself, what is at home included."""
        if self.now.limits or not self.now.buys(need):
            return self.candidates.needs[need]
        return self.oracle.rows(self.data, stocked=self.stocked).of_need(need)

    def number_of(self, need: str) -> int:
        """Return how many rows may meet a need by themselves; what is at home is one, too."""
        if not self.now.buys(need):
            return 1
        rows = self.oracle.rows(self.data, stocked=self.stocked).admitted(need)
        bought = 0 if rows is None else len(rows.table["sku"])
        return bought + bool(self.value("needs", need, "have"))

    @property
    def barred_keeps(self) -> tuple[str, ...]:
        """The kept skus that may not enter a kit by themselves, in the variant with the fewest."""
        every = (self.oracle.barred_keeps(data, stocked=self.stocked) for data in self.variants)
        return min(every, key=len)

    @property
    def catalogue(self) -> Catalogue:
        """What is for sale, with its true stock."""
        return self.oracle.catalogue
