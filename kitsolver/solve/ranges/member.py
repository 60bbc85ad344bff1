"""One kit of a range: the best kit within its share of the stock."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from typing import Any

from kitsolver.brief.range import RangeKit
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.search import by_chart
from kitsolver.solve.engine import Solver
from kitsolver.solve.figures import bound_by, weighed_points
from kitsolver.solve.ranges.choices import Choices, Found, Share
from kitsolver.solve.search_result import SearchResult
from kitsolver.solve.tally import Tally, tally
from kitsolver.solve.time_limit import OutOfTime, TimeLimit


@dataclass(frozen=True, eq=False)
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

    @cached_property
    def figures(self) -> tuple[Fraction, Fraction, int]:
        """Quality, extras and what is paid of all copies; the last as what is not paid."""
        copies = self.kit.copies
        paid = self.sums.receipt.payable
        return copies * self.sums.quality, copies * self.sums.extras, -copies * paid

    @property
    def bound(self) -> Fraction:
        """What the quality of all copies cannot exceed within the limits."""
        return self.kit.copies * self.found.bound.quality

    @cached_property
    def rank(self) -> Any:
        """What kits of one brief are compared by: less is better."""
        return *(-figure for figure in self.figures), self.order

    @cached_property
    def order(self) -> Any:
        """What kits of equal figures are distinguished by: less comes first."""
        return sorted(self.sums.units.items()), [p.key for p in self.found.selection.places]

    @cached_property
    def weighed(self) -> Fraction:
        """The first figure of one copy, in weighed points."""
        return weighed_points(self.found.selection, self.candidates)

    @cached_property
    def taken(self) -> dict[str, int]:
        """By sku the units that one copy takes from the shelves: not what its buyer owns."""
        own = self.kit.brief.choose.own
        return {sku: units for sku, units in self.sums.units.items() if sku not in own}

    def of(self, kit: RangeKit) -> MemberKit:
        """Return the same as another kit of a range that is alike."""
        return MemberKit(kit, self.found, replace(self.candidates, brief=kit.brief))

    def bounded_by(self, weighed: Fraction) -> MemberKit:
        """Return the same where other kits may come up to a first figure, in weighed points."""
        bounds = self.found.bound, bound_by(weighed, self.candidates)
        highest = max(bounds, key=lambda figures: figures.order)
        return replace(self, found=replace(self.found, bound=highest))

    def keeps_to(self, share: Share) -> bool:
        """Tell whether one copy takes no more than a share."""
        return all(self.taken.get(sku, 0) <= most for sku, most in share)


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
        self, kit: RangeKit, choices: Choices, solver: Solver, time_limit: TimeLimit
    ) -> None:
        self.kit, self.choices = kit, choices
        self.solver, self.time_limit = solver, time_limit
        self._known: dict[Share, MemberKit | None] = {}

    def best(self, share: Share) -> MemberKit | None:
        """Return the best kit with some share; None if there is none."""
        member = self.best_so_far(share)
        if member is not None and not member.found.proven:
            raise OutOfTime
        return member

    def best_so_far(self, share: Share, parts: int = 1) -> MemberKit | None:
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
            if looser <= share and (member is None or member.keeps_to(share)):
                break
        else:
            member = self._search(share, self.time_limit.part(parts))
        if member is None or member.found.proven:
            # What time cut short is no answer, and is not remembered.
            self._known[share] = member
        return member

    def _search(self, share: Share, time_limit: TimeLimit) -> MemberKit | None:
        time_limit.check()
        if any(not most and sku in self.kit.brief.choose.keep for sku, most in share):
            return None
        near = self._searched(share, self.choices.near_the_best(share), time_limit)
        beyond = self.choices.beyond_few[self.kit.brief.total_cap]
        if beyond < 0 or (near is not None and near.weighed > beyond):
            return near
        if near is not None and not near.found.proven:
            return near.bounded_by(beyond)
        return self._searched(share, self.choices.all_within(share), time_limit)

    def _searched(self, share: Share, of: Found, time_limit: TimeLimit) -> MemberKit | None:
        """Return the best kit of some candidates, or the best found in time."""
        caps = {"cap": self.kit.brief.cap, "cap_per_head": self.kit.brief.cap_per_head}
        candidates = replace(of.candidates, brief=of.candidates.brief.model_copy(update=caps))
        none = self.choices.charts_of(share)
        found = by_chart(candidates, self.solver, time_limit, charts=of.charts, but=none)
        if found is None:
            return None
        return MemberKit(self.kit, found, replace(candidates, brief=self.kit.brief))
