"""One kit of a range: the best kit within its share of the stock."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from typing import Any, NamedTuple

import numpy as np

from kitsolver.brief.brief import Brief
from kitsolver.brief.range import RangeKit
from kitsolver.shop.catalogue import UNLIMITED, Catalogue
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.search import by_chart
from kitsolver.solve.decomposition.subproblems import Subproblems
from kitsolver.solve.engine import Solver
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.search_result import SearchResult
from kitsolver.solve.tally import Tally, tally
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

# By sku the most units that one copy may take.
Limits = Mapping[str, int]


class StockShare(NamedTuple):
    """What one copy of a kit may and must take of rows that kits conflict over.

    Parameters
    ----------
    limits : frozenset of (str, int)
        Skus with the most units that a copy may take.
    held : frozenset of str
        Skus that a copy must hold.
    """

    limits: frozenset[tuple[str, int]] = frozenset()
    held: frozenset[str] = frozenset()

    def is_tighter_than(self, other: StockShare) -> bool:
        """Tell whether every demand of the other share is made here."""
        return self.limits >= other.limits and self.held >= other.held

    def at_most(self, sku: str, units: int) -> StockShare:
        """Return the same with a closer limit to one sku."""
        limits = dict(self.limits)
        limits[sku] = min(units, limits.get(sku, units))
        return self._replace(limits=frozenset(limits.items()))

    def holding(self, sku: str) -> StockShare:
        """Return the same with one sku more that is held."""
        return self._replace(held=self.held | {sku})


@dataclass(frozen=True)
class MemberKit:
    """The best kit within some limits.

    Parameters
    ----------
    kit : RangeKit
        What was asked.
    found : SearchResult
        Its choice, one copy.
    candidates : Candidates
        What it was chosen from, with the brief as it was asked.
    """

    kit: RangeKit
    found: SearchResult
    candidates: Candidates

    @cached_property
    def sums(self) -> Tally:
        """One copy added up."""
        return tally(self.found.selection, self.candidates)

    @property
    def figures(self) -> tuple[Fraction, Fraction, int]:
        """Quality, extras and what is paid of all copies; the last as what is not paid."""
        copies = self.kit.copies
        paid = self.sums.receipt.payable
        return copies * self.sums.quality, copies * self.sums.extras, -copies * paid

    @property
    def bound(self) -> Fraction:
        """What the quality of all copies cannot exceed within the limits."""
        return self.kit.copies * self.found.bound.quality

    @property
    def order(self) -> Any:
        """What kits of equal figures are distinguished by: less comes first."""
        return sorted(self.sums.units.items()), [p.key for p in self.found.selection.places]

    @cached_property
    def taken(self) -> dict[str, int]:
        """By sku the units that one copy takes from the shelves: not what its buyer owns."""
        own = self.kit.brief.choose.own
        return {sku: units for sku, units in self.sums.units.items() if sku not in own}


class MemberSearch:
    """One kit of a range with any share of the stock, each found once.

    Raises
    ------
    OutOfTime
        If time runs out before any kit is found; of `best` if it is not proven in time.
    SolverFault
        As `kitsolver.solve.model.questions.best` does.
    """

    def __init__(
        self, kit: RangeKit, catalogue: Catalogue, solver: Solver, time_limit: TimeLimit
    ) -> None:
        self.kit, self.solver, self.time_limit = kit, solver, time_limit
        self.goods = for_copies(catalogue, kit.copies)
        self._known: dict[StockShare, MemberKit | None] = {}
        self._first: Subproblems | None = None

    def best(self, share: StockShare) -> MemberKit | None:
        """Return the best kit with some share; None if there is none."""
        member = self.best_so_far(share)
        if member is not None and not member.found.proven:
            raise OutOfTime
        return member

    def best_so_far(self, share: StockShare, parts: int = 1) -> MemberKit | None:
        """Return the best kit with some share, or the best found in time; None if there is none.

        Parameters
        ----------
        parts : int
            The search may take one of so many equal parts of the time that is left.
        """
        if share in self._known:
            return self._known[share]
        for looser, member in self._known.items():
            # What is best where less is asked, and does what is asked here, is best here.
            if share.is_tighter_than(looser) and (member is None or _keeps_to(member, share)):
                break
        else:
            member = self._search(share, self.time_limit.part(parts))
        if member is None or member.found.proven:
            # What time cut short is no answer, and is not remembered.
            self._known[share] = member
        return member

    def _search(self, share: StockShare, time_limit: TimeLimit) -> MemberKit | None:
        time_limit.check()
        limits = dict(share.limits)
        none = {sku for sku, most in limits.items() if most == 0}
        keep = share.held | set(self.kit.brief.choose.keep)
        if none & keep:
            return None
        some = {sku: most for sku, most in limits.items() if most > 0}
        goods = _limited(self.goods, some) if some else self.goods
        # Charts are passed over, rather than left out: so what is known of all of them holds.
        charts = {sku for sku in none if goods.row(sku)["category"] == "chart"}
        brief = choosing(self.kit.brief, none - charts, keep)
        # What is taken from the first search is of the same shelves only.
        first = self._first
        known = None if some or first is None else first.candidates
        candidates = find_candidates(goods, brief, thin=True, known=known)
        upper_bounds = self._charts(candidates)
        found = by_chart(candidates, self.solver, time_limit, charts=upper_bounds, but=charts)
        if found is None:
            return None
        return MemberKit(self.kit, found, replace(candidates, brief=self.kit.brief))

    def _charts(self, candidates: Candidates) -> Subproblems:
        """Return the charts with upper bounds: those of the first search hold for every share."""
        if self._first is None:
            spendable = candidates.most_goods(candidates.brief.total_cap)
            self._first = Subproblems(candidates, spendable, spendable)
            return self._first
        upper_bounds = self._first.upper_bounds
        if candidates.charts == self._first.candidates.charts:
            return Subproblems(
                candidates, upper_bounds.least, upper_bounds.most, upper_bounds=upper_bounds
            )
        return Subproblems(candidates, upper_bounds.least, upper_bounds.most)


def _keeps_to(member: MemberKit, share: StockShare) -> bool:
    taken = member.taken
    return share.held <= taken.keys() and all(
        taken.get(sku, 0) <= most for sku, most in share.limits
    )


def choosing(brief: Brief, leave_out: Collection[str], keep: Collection[str]) -> Brief:
    """Return a brief that leaves some skus out, too, and keeps some."""
    update = {
        "leave_out": (*brief.choose.leave_out, *sorted(leave_out)),
        "keep": (*brief.choose.keep, *sorted(set(keep) - set(brief.choose.keep))),
    }
    return brief.model_copy(update={"choose": brief.choose.model_copy(update=update)})


def for_copies(catalogue: Catalogue, copies: int) -> Catalogue:
    """Return a catalogue with the stock that each of several copies may take.

    What is on the shelf for all of them stays in the column ``shared_stock``, for explanations.
    """
    if copies == 1:
        return catalogue
    shelves = {
        category: shelf.assign(
            shared_stock=shelf["stock"],
            stock=np.where(
                shelf["stock"] < UNLIMITED, shelf["stock"].to_numpy() // copies, UNLIMITED
            ),
        )
        for category, shelf in catalogue.shelves.items()
    }
    return replace(catalogue, shelves=shelves)


def _limited(catalogue: Catalogue, limits: Limits) -> Catalogue:
    """Return a catalogue with no more than some units of some rows."""
    shelves = dict(catalogue.shelves)
    for category in {catalogue.row(sku)["category"] for sku in limits}:
        shelf = shelves[category]
        most = shelf["sku"].map(limits).fillna(UNLIMITED).astype("int64")
        shelves[category] = shelf.assign(stock=np.minimum(shelf["stock"], most))
    return replace(catalogue, shelves=shelves)
