"""Several kits that are best together, from one stock.

Kits share nothing but stock. Each kit is first found by itself, which bounds every range from
above. Where the kits together take more of a row than there is, or share what they may not, the
row is contested. Each kit then has patterns (`patterns.py`): what it can be at best, by the units
that it takes of contested rows. The patterns that are best together within the stock bound every
range (`allotment.py`). If there are kits that are as good as these patterns say, and no further
row is contested, they are the best range. If not, patterns or contested rows are added, and the
best patterns are found again (a decomposition by constraints that are generated when they are
needed; Hooker & Ottosson 2003, Mathematical Programming 96:33-60, recalled from memory).
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from kitsolver.brief.range import RangeKit
from kitsolver.shop.catalogue import UNLIMITED, Catalogue
from kitsolver.solve.ranges.allotment import Figures, Taking, allot
from kitsolver.solve.ranges.choices import WHOLE, with_limit
from kitsolver.solve.ranges.member import MemberKit, MemberSearch
from kitsolver.solve.ranges.patterns import Pattern, Patterns
from kitsolver.solve.search_result import Progress
from kitsolver.solve.time_limit import OutOfTime


class Contended(NamedTuple):
    """A conflict: a row of which kits take more than there is, or that they may not share.

    `stock` is None where there is enough, but no two kits may hold it.
    """

    sku: str
    stock: int | None
    wanted: int
    kits: tuple[str, ...]


@dataclass(frozen=True)
class JointKits:
    """The kits found, in the range's order.

    Parameters
    ----------
    members : tuple of MemberKit
        Empty if there are no such kits.
    proven : bool
        Whether no others are better together.
    bound : Fraction
        No range has a sum of copies times quality above this.
    contended : tuple of Contended
        The conflicts of the kits that are best by themselves.
    """

    members: tuple[MemberKit, ...]
    proven: bool
    bound: Fraction
    contended: tuple[Contended, ...] = ()


@dataclass(frozen=True)
class SharedGoods:
    """What the kits of a range may conflict over.

    Parameters
    ----------
    stock : dict of str to int
        Of every row that is not unlimited.
    category : dict of str to str
        Of every row in a category that is distinct.
    """

    stock: dict[str, int]
    category: dict[str, str]

    def room(self, sku: str) -> int:
        """Return how often a row may be taken: its stock, or by one kit where none may share it."""
        return 1 if sku in self.category else self.stock[sku]

    def taken(self, units: Iterable[tuple[str, int]], copies: int) -> dict[str, int]:
        """Return how often copies of a kit take rows, as `room` counts."""
        return {sku: 1 if sku in self.category else copies * number for sku, number in units}

    def contended(
        self, members: Sequence[MemberKit], kits: Sequence[RangeKit]
    ) -> Iterator[Contended]:
        """Yield the conflicts of some kits, those over rows that no two may hold first."""
        takers: dict[str, list[tuple[str, int]]] = {}
        for member, kit in zip(members, kits, strict=True):
            for sku, units in member.taken.items():
                takers.setdefault(sku, []).append((kit.name, kit.copies * units))
        found = []
        for sku, taken in takers.items():
            wanted = sum(units for _, units in taken)
            names = tuple(name for name, _ in taken)
            if sku in self.category and len(names) > 1:
                found.append(Contended(sku, None, wanted, names))
            elif wanted > self.stock.get(sku, UNLIMITED):
                found.append(Contended(sku, self.stock[sku], wanted, names))
        yield from sorted(found, key=lambda each: (each.stock is not None, each))


def shared_goods(catalogue: Catalogue, distinct: Sequence[str]) -> SharedGoods:
    """Return what kits may conflict over."""
    stock: dict[str, int] = {}
    category: dict[str, str] = {}
    for name, rows in catalogue.rows.items():
        limited = rows.where((rows["stock"] < UNLIMITED) & (rows["download"] == 0))
        stock |= dict(zip(limited["sku"], limited["stock"].tolist(), strict=True))
        if name in distinct:
            category |= dict.fromkeys(rows["sku"], name)
    return SharedGoods(stock, category)


class _Together:
    """Kits that are best together; what is known of patterns, and of what is contested."""

    def __init__(
        self,
        asked: Sequence[RangeKit],
        kits: Sequence[MemberSearch],
        alone: Sequence[MemberKit],
        shared: SharedGoods,
    ) -> None:
        self.asked, self.kits, self.shared = asked, kits, shared
        # Kits that are alike have one search, and so the same patterns.
        self.patterns = {
            id(kit): Patterns(kit, best, shared.category)
            for kit, best in zip(kits, alone, strict=True)
        }
        self.contested: list[str] = []
        self.bound = _quality(alone)

    def best(self, least: Sequence[MemberKit]) -> list[MemberKit] | None:
        """Return the best kits; None if there are none.

        Parameters
        ----------
        least : sequence of MemberKit
            Kits without a conflict; empty if none are known.

        Raises
        ------
        OutOfTime
            If that is not known in time; `bound` is what the quality of no range exceeds.
        """
        while True:
            chosen = self._allotted(least)
            if chosen is None:
                return None
            self.bound = sum((one.bound.figures[0] for one in chosen), Fraction(0))
            found: dict[tuple[int, Pattern], MemberKit | None] = {}
            for kit, pattern in zip(self.kits, chosen, strict=True):
                if (id(kit), pattern) not in found:
                    kit_of = self.patterns[id(kit)].kit_of
                    found[id(kit), pattern] = kit_of(pattern, self.contested)
            members = [found[id(kit), one] for kit, one in zip(self.kits, chosen, strict=True)]
            whole = [member for member in members if member is not None]
            if len(whole) < len(members):
                continue
            conflicts = list(self.shared.contended(whole, self.asked))
            if not conflicts:
                return whole
            self.contested += [conflict.sku for conflict in conflicts]

    def _allotted(self, least: Sequence[MemberKit]) -> list[Pattern] | None:
        room = {sku: self.shared.room(sku) for sku in self.contested}
        takings = {
            id(kit): [
                Taking(one, self.shared.taken(one.units, kit.kit.copies))
                for one in self.patterns[id(kit)].all
            ]
            for kit in self.kits
        }
        figures = _sums(least) if least else None
        time_limit = self.kits[0].time_limit
        return allot([takings[id(kit)] for kit in self.kits], room, figures, time_limit)


def together(
    asked: Sequence[RangeKit],
    kits: Sequence[MemberSearch],
    alone: Sequence[MemberKit],
    shared: SharedGoods,
    least: Sequence[MemberKit] = (),
) -> JointKits:
    """Return the kits that are best together.

    Their sums of copies times quality are compared, then of extras, then of what is paid, and
    where all are equal, kit by kit, the kits' tie-break.

    Parameters
    ----------
    kits : sequence of MemberSearch
        The searches of the kits asked for; those that are alike have the same.
    alone : sequence of MemberKit
        The kits that are best by themselves.
    least : sequence of MemberKit
        Kits without a conflict, returned if time runs out.

    Raises
    ------
    OutOfTime
        If time ran out and no kits without a conflict are known.
    """
    contended = tuple(shared.contended(alone, asked))
    if not contended:
        return JointKits(tuple(alone), proven=True, bound=_quality(alone))
    search = _Together(asked, kits, alone, shared)
    try:
        found = search.best(least)
    except OutOfTime:
        if not least:
            raise
        return JointKits(tuple(least), False, search.bound, contended)
    if found is None:
        return JointKits((), proven=True, bound=Fraction(0), contended=contended)
    return JointKits(tuple(found), True, _quality(found), contended)


def in_order(
    kits: Sequence[MemberSearch], shared: SharedGoods, progress: Progress | None = None
) -> list[MemberKit]:
    """Return for each kit the best of what those before it leave, as far as time allows.

    The list ends before the first for which there is none.

    Raises
    ------
    OutOfTime
        If time runs out before any kit is found for one of them.
    """
    left, gone = dict(shared.stock), set[str]()
    found: list[MemberKit] = []
    for number, kit in enumerate(kits):
        member = _within(kit, left, gone, parts=len(kits) - number)
        if member is None:
            break
        found.append(member)
        if progress is not None:
            progress(number + 1, len(kits))
        for sku, units in member.taken.items():
            if sku in left:
                left[sku] -= kit.kit.copies * units
            if sku in shared.category:
                gone.add(sku)
    return found


def _within(
    kit: MemberSearch, left: Mapping[str, int], gone: Collection[str], parts: int
) -> MemberKit | None:
    """Return the best kit, or the best found in time, of what is left; None if there is none."""
    share = WHOLE
    while True:
        member = kit.best_so_far(share, parts)
        if member is None:
            return None
        over = False
        for sku, units in member.taken.items():
            most = 0 if sku in gone else left.get(sku, UNLIMITED) // kit.kit.copies
            if units > most:
                share, over = with_limit(share, sku, most), True
        if not over:
            return member


def _quality(members: Sequence[MemberKit]) -> Fraction:
    return sum((member.figures[0] for member in members), Fraction(0))


def _sums(members: Sequence[MemberKit]) -> Figures:
    quality, extras, unpaid = zip(*(member.figures for member in members), strict=True)
    return sum(quality, Fraction(0)), sum(extras, Fraction(0)), sum(unpaid)
