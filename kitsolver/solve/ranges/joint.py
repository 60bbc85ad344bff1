"""Several kits that are best together, from one stock.

Conflict-based search. Each kit is first found by itself, which bounds every range from above. If
the kits conflict, because together they take more of a row than there is or share what they may
not, the search branches: in each branch one of the kits concerned must take less of that row. The
best branch is looked at first, so the first branch without a conflict is the best range (after
Sharon, Stern, Felner & Sturtevant 2015, Artificial Intelligence 219:40-66, recalled from memory).
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import count
from typing import Any, NamedTuple

from kitsolver.shop.catalogue import UNLIMITED, Catalogue
from kitsolver.solve.ranges.member import MemberKit, MemberSearch, StockShare
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

    def contended(self, members: Sequence[MemberKit]) -> Iterator[Contended]:
        """Yield the conflicts of some kits, those over rows that no two may hold first."""
        takers: dict[str, list[MemberKit]] = {}
        for member in members:
            for sku in member.taken:
                takers.setdefault(sku, []).append(member)
        found = []
        for sku, kits in takers.items():
            wanted = sum(kit.kit.copies * kit.taken[sku] for kit in kits)
            names = tuple(kit.kit.name for kit in kits)
            if sku in self.category and len(kits) > 1:
                found.append(Contended(sku, None, wanted, names))
            elif wanted > self.stock.get(sku, UNLIMITED):
                found.append(Contended(sku, self.stock[sku], wanted, names))
        yield from sorted(found, key=lambda each: (each.stock is not None, each))


def shared_goods(catalogue: Catalogue, distinct: Sequence[str]) -> SharedGoods:
    """Return what kits may conflict over."""
    stock: dict[str, int] = {}
    category: dict[str, str] = {}
    for name, shelf in catalogue.shelves.items():
        limited = shelf[(shelf["stock"] < UNLIMITED) & (shelf["download"] == 0)]
        stock |= dict(zip(limited["sku"], limited["stock"].tolist(), strict=True))
        if name in distinct:
            category |= dict.fromkeys(shelf["sku"], name)
    return SharedGoods(stock, category)


class _Node(NamedTuple):
    """A branch: a share of the stock for each kit, and the kits that are best within them."""

    key: Any
    number: int
    shares: tuple[StockShare, ...]
    members: tuple[MemberKit, ...]


def together(
    kits: Sequence[MemberSearch], shared: SharedGoods, fallback: Sequence[MemberKit] = ()
) -> JointKits:
    """Return the kits that are best together.

    Their sums of copies times quality are compared, then of extras, then of what is paid.

    Parameters
    ----------
    fallback : sequence of MemberKit
        Kits without a conflict, returned if time runs out.

    Raises
    ------
    OutOfTime
        If time ran out without a fallback.
    """
    number = count()
    first = _node(kits, (StockShare(),) * len(kits), next(number))
    if first is None:
        return JointKits((), proven=True, bound=Fraction(0))
    contended = tuple(shared.contended(first.members))
    queue = [first]
    try:
        while queue:
            node = heapq.heappop(queue)
            conflict = next(shared.contended(node.members), None)
            if conflict is None:
                return JointKits(node.members, True, _quality(node.members), contended)
            for shares in _branches(conflict, node):
                child = _node(kits, shares, next(number))
                if child is not None:
                    heapq.heappush(queue, child)
    except OutOfTime:
        if not fallback:
            raise
        top = max((_quality(open_.members) for open_ in [node, *queue]), default=Fraction(0))
        return JointKits(tuple(fallback), proven=False, bound=top, contended=contended)
    return JointKits((), proven=True, bound=Fraction(0), contended=contended)


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
    left, taken = dict(shared.stock), set[str]()
    found: list[MemberKit] = []
    for number, kit in enumerate(kits):
        copies = kit.kit.copies
        limits = {sku: max(0, stock) // copies for sku, stock in left.items()}
        limits = {sku: most for sku, most in limits.items() if most < shared.stock[sku] // copies}
        limits |= dict.fromkeys(taken, 0)
        share = StockShare(frozenset(limits.items()))
        member = kit.best_so_far(share, parts=len(kits) - number)
        if member is None:
            break
        found.append(member)
        if progress is not None:
            progress(number + 1, len(kits))
        for sku, units in member.taken.items():
            if sku in left:
                left[sku] -= copies * units
            if sku in shared.category:
                taken.add(sku)
    return found


def _quality(members: Sequence[MemberKit]) -> Fraction:
    return sum((member.figures[0] for member in members), Fraction(0))


def _node(
    kits: Sequence[MemberSearch], shares: tuple[StockShare, ...], number: int
) -> _Node | None:
    members = []
    for kit, share in zip(kits, shares, strict=True):
        member = kit.best(share)
        if member is None:
            return None
        members.append(member)
    sums = [sum(parts) for parts in zip(*(member.figures for member in members), strict=True)]
    key = [-figure for figure in sums], [member.order for member in members]
    return _Node(key, number, shares, tuple(members))


def _branches(conflict: Contended, node: _Node) -> Iterator[tuple[StockShare, ...]]:
    """Yield the shares of the branches: in each, one of the kits concerned takes less of a row.

    The kits before it must hold the row, so that no range is in two branches.
    """
    shares = list(node.shares)
    for place, member in enumerate(node.members):
        if member.kit.name in conflict.kits:
            most = 0 if conflict.stock is None else member.taken[conflict.sku] - 1
            less = shares[place].at_most(conflict.sku, most)
            yield (*shares[:place], less, *shares[place + 1 :])
            shares[place] = shares[place].holding(conflict.sku)
