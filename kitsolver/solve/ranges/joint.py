"""Kits that are best together, none taking what another needs.

Each kit by itself is the best there is for it, and no range beats all of them at once. Where they
cannot stand together, for they take more of a row than there is or share what they may not, one
of those concerned must take less of it: each of these ways is looked at, the best first. The first
range in which nothing is taken twice is thus the best (conflict-based search after Sharon, Stern,
Felner & Sturtevant 2015, Artificial Intelligence 219:40-66, recalled from memory).
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import count
from typing import Any, NamedTuple

from kitsolver.shop.catalogue import UNLIMITED, Catalogue
from kitsolver.solve.ranges.member import Share, Single, Singles
from kitsolver.solve.time_limit import OutOfTime


class Contended(NamedTuple):
    """A row of which kits would take more than there is, or that they may not share.

    `stock` is None where there is enough, but no two kits may hold it.
    """

    sku: str
    stock: int | None
    wanted: int
    kits: tuple[str, ...]


@dataclass(frozen=True)
class Joint:
    """The kits found, in the range's order.

    Parameters
    ----------
    singles : tuple of Single
        Empty if there are no such kits.
    proven : bool
        Whether no others are better together.
    bound : Fraction
        No range has a sum of copies times quality above this.
    contended : tuple of Contended
        What the kits, each as good as it could be, would have taken twice.
    """

    singles: tuple[Single, ...]
    proven: bool
    bound: Fraction
    contended: tuple[Contended, ...] = ()


@dataclass(frozen=True)
class Contest:
    """What kits contend for.

    Parameters
    ----------
    stock : dict of str to int
        Of every row that is not unlimited.
    category : dict of str to str
        Of every row in a category that is distinct.
    """

    stock: dict[str, int]
    category: dict[str, str]

    def contended(self, singles: Sequence[Single]) -> Iterator[Contended]:
        """Yield what some kits cannot take together, the scarcest first."""
        takers: dict[str, list[Single]] = {}
        for single in singles:
            for sku in single.taken:
                takers.setdefault(sku, []).append(single)
        found = []
        for sku, kits in takers.items():
            wanted = sum(kit.kit.copies * kit.taken[sku] for kit in kits)
            names = tuple(kit.kit.name for kit in kits)
            if sku in self.category and len(kits) > 1:
                found.append(Contended(sku, None, wanted, names))
            elif wanted > self.stock.get(sku, UNLIMITED):
                found.append(Contended(sku, self.stock[sku], wanted, names))
        yield from sorted(found, key=lambda each: (each.stock is not None, each))


def contest_of(catalogue: Catalogue, distinct: Sequence[str]) -> Contest:
    """Return what kits may contend for."""
    stock: dict[str, int] = {}
    category: dict[str, str] = {}
    for name, shelf in catalogue.shelves.items():
        limited = shelf[(shelf["stock"] < UNLIMITED) & (shelf["download"] == 0)]
        stock |= dict(zip(limited["sku"], limited["stock"].tolist(), strict=True))
        if name in distinct:
            category |= dict.fromkeys(shelf["sku"], name)
    return Contest(stock, category)


class _Node(NamedTuple):
    """A share for each kit, and the kits that are best with them."""

    key: Any
    number: int
    shares: tuple[Share, ...]
    singles: tuple[Single, ...]


def together(kits: Sequence[Singles], contest: Contest, fallback: Sequence[Single] = ()) -> Joint:
    """Return the kits that are best together.

    Their sums of copies times quality are compared, then of extras, then of what is paid.

    Parameters
    ----------
    fallback : sequence of Single
        Kits that stand together, for when time runs out.

    Raises
    ------
    OutOfTime
        If time ran out without a fallback.
    """
    number = count()
    first = _node(kits, (Share(),) * len(kits), next(number))
    if first is None:
        return Joint((), proven=True, bound=Fraction(0))
    contended = tuple(contest.contended(first.singles))
    queue = [first]
    try:
        while queue:
            node = heapq.heappop(queue)
            clash = next(contest.contended(node.singles), None)
            if clash is None:
                return Joint(node.singles, True, _quality(node.singles), contended)
            for shares in _ways_out(clash, node):
                child = _node(kits, shares, next(number))
                if child is not None:
                    heapq.heappush(queue, child)
    except OutOfTime:
        if not fallback:
            raise
        top = max((_quality(open_.singles) for open_ in [node, *queue]), default=Fraction(0))
        return Joint(tuple(fallback), proven=False, bound=top, contended=contended)
    return Joint((), proven=True, bound=Fraction(0), contended=contended)


def in_order(kits: Sequence[Singles], contest: Contest) -> list[Single]:
    """Return each kit as good as those before it leave it; fewer if for one there is none."""
    left, taken = dict(contest.stock), set[str]()
    found: list[Single] = []
    for kit in kits:
        copies = kit.kit.copies
        limits = {sku: max(0, stock) // copies for sku, stock in left.items()}
        limits = {sku: most for sku, most in limits.items() if most < contest.stock[sku] // copies}
        limits |= dict.fromkeys(taken, 0)
        single = kit.best(Share(frozenset(limits.items())))
        if single is None:
            break
        found.append(single)
        for sku, units in single.taken.items():
            if sku in left:
                left[sku] -= copies * units
            if sku in contest.category:
                taken.add(sku)
    return found


def _quality(singles: Sequence[Single]) -> Fraction:
    return sum((single.figures[0] for single in singles), Fraction(0))


def _node(kits: Sequence[Singles], shares: tuple[Share, ...], number: int) -> _Node | None:
    singles = []
    for kit, share in zip(kits, shares, strict=True):
        single = kit.best(share)
        if single is None:
            return None
        singles.append(single)
    sums = [sum(parts) for parts in zip(*(single.figures for single in singles), strict=True)]
    key = [-figure for figure in sums], [single.order for single in singles]
    return _Node(key, number, shares, tuple(singles))


def _ways_out(clash: Contended, node: _Node) -> Iterator[tuple[Share, ...]]:
    """Yield the shares in each of which one of the kits concerned takes less of a row.

    Those before it keep some of it, so that no way is gone twice.
    """
    shares = list(node.shares)
    for place, single in enumerate(node.singles):
        if single.kit.name in clash.kits:
            most = 0 if clash.stock is None else single.taken[clash.sku] - 1
            less = shares[place].at_most(clash.sku, most)
            yield (*shares[:place], less, *shares[place + 1 :])
            shares[place] = shares[place].holding(clash.sku)
