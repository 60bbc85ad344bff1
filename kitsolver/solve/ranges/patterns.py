"""What one kit of a range can be at best, by the units that it takes of contested rows.

A share of the stock says of some rows how many units a kit takes at most. If the best kit within a
share is known, every better kit takes more than that of one of these rows. A pattern names units
that a kit takes of some rows, and the best kit that any kit can be which takes no more of the
contested rows. The patterns of a kit are all that the known shares leave possible.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from typing import NamedTuple

from kitsolver.solve.ranges.choices import WHOLE, Share, with_limit
from kitsolver.solve.ranges.member import MemberKit, MemberSearch


class Pattern(NamedTuple):
    """Units of contested rows, sorted by sku, and a kit that none with no more units beats."""

    units: tuple[tuple[str, int], ...]
    bound: MemberKit

    def leaves(self, share: Share) -> bool:
        """Tell whether no more than a share is taken."""
        taken = dict(self.units)
        return all(taken.get(sku, 0) <= most for sku, most in share)

    def taking(self, sku: str, units: int) -> Pattern:
        """Return the same with at least some units of a row."""
        taken = dict(self.units)
        taken[sku] = max(units, taken.get(sku, 0))
        return self._replace(units=tuple(sorted(taken.items())))


class Patterns:
    """The patterns of one kit, as far as its best kits within shares are known.

    Parameters
    ----------
    search : MemberSearch
        Finds the best kits within shares.
    best : MemberKit
        The best kit within no share.
    unshared : collection of str
        Rows that no two kits may hold: a kit takes all units that it needs, or none.

    Raises
    ------
    OutOfTime, SolverFault
        As `kitsolver.solve.ranges.member.MemberSearch.best` does.
    """

    def __init__(self, search: MemberSearch, best: MemberKit, unshared: Collection[str]) -> None:
        self.search, self.unshared = search, unshared
        self.all = [Pattern((), best)]

    def kit_of(self, pattern: Pattern, contested: Collection[str]) -> MemberKit | None:
        """Return a kit as good as a pattern says, with no more units of contested rows.

        If there is none, the patterns are changed accordingly, and None is returned.
        """
        share = WHOLE
        while True:
            found = self.search.best(share)
            assert found is not None
            less_than_taken = self._less_than_taken(found, pattern, contested)
            if not less_than_taken:
                return found
            closer = [with_limit(share, sku, most) for sku, most in less_than_taken.items()]
            for each in closer:
                less = self.search.best(each)
                if less is None or less.rank > pattern.bound.rank:
                    self._learn(each, less)
                    return None
            share = closer[0]

    def _less_than_taken(
        self, found: MemberKit, pattern: Pattern, contested: Collection[str]
    ) -> dict[str, int]:
        """Return the limits that a kit exceeds, by contested rows of which it takes too much."""
        allowed, limits = dict(pattern.units), {}
        for sku in contested:
            units = found.taken.get(sku, 0)
            if sku in self.unshared:
                if units and sku not in allowed:
                    limits[sku] = 0
            elif units > allowed.get(sku, 0):
                limits[sku] = units - 1
        return limits

    def _learn(self, share: Share, best: MemberKit | None) -> None:
        """Change the patterns by what the best kit within a share is."""
        changed: dict[tuple[tuple[str, int], ...], Pattern] = {}
        for pattern in self.all:
            for one in _split(pattern, share, best):
                known = changed.get(one.units)
                if known is None or one.bound.rank < known.bound.rank:
                    changed[one.units] = one
        self.all = _undominated(list(changed.values()))


def _split(pattern: Pattern, share: Share, best: MemberKit | None) -> Iterator[Pattern]:
    if not pattern.leaves(share) or (best is not None and best.rank <= pattern.bound.rank):
        yield pattern
        return
    if best is not None:
        yield pattern._replace(bound=best)
    for sku, most in share:
        yield pattern.taking(sku, most + 1)


def _undominated(patterns: Sequence[Pattern]) -> list[Pattern]:
    """Leave out patterns that take as much as another of every row, and are no better."""
    kept: list[Pattern] = []
    for one in sorted(patterns, key=lambda each: (each.bound.rank, sum(u for _, u in each.units))):
        if not any(_within(better, one) for better in kept):
            kept.append(one)
    return kept


def _within(one: Pattern, other: Pattern) -> bool:
    taken = dict(other.units)
    return all(taken.get(sku, 0) >= units for sku, units in one.units)
