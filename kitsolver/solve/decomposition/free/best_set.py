"""The best sets of places of which every two differ enough: branch and bound over sets of bits.

Every place has a weight, and a set weighs what its places weigh together. Upper bound: the places
that are left are parted into cliques of places that are all too alike. A set takes one place of a
clique at most, so no set weighs more than the heaviest places of the heaviest cliques.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from kitsolver.solve.decomposition.frontier import StateLimitReached

# So many partial sets are gone through before it is given up.
_MOST_NODES = 20_000
# So many sets of equal weight are listed.
_MOST_EQUAL = 100


class _Node(NamedTuple):
    """A partial set: what is taken and weighs, and what may still be taken; sets are bits."""

    taken: int
    weight: int
    left: int


class BestSets:
    """Sets of places of which every two differ enough.

    Every method raises `StateLimitReached` if it takes too long, and what `check` raises.

    Parameters
    ----------
    weights : sequence of int
        What each place weighs.
    alike : array of bool, shape (places, places)
        Which two are too alike; of a place and itself it does not matter.
    check : callable
        Called now and then; raises where there is no time left.
    """

    def __init__(
        self, weights: Sequence[int], alike: NDArray[np.bool_], check: Callable[[], None]
    ) -> None:
        # Bits stand for places by falling weight.
        self._order = sorted(range(len(weights)), key=lambda place: (-weights[place], place))
        self._bit = {place: bit for bit, place in enumerate(self._order)}
        self._weights = [weights[place] for place in self._order]
        by_weight = alike[np.ix_(self._order, self._order)]
        np.fill_diagonal(by_weight, val=False)
        packed = np.packbits(by_weight, axis=1, bitorder="little")
        self._alike = [int.from_bytes(row.tobytes(), "little") for row in packed]
        self._check, self._nodes = check, _MOST_NODES

    def heaviest(self, size: int, kept: Sequence[int] = ()) -> int | None:
        """Return what the heaviest set of some size weighs; None if there is none.

        Parameters
        ----------
        kept : sequence of int
            The places that it must hold.
        """
        start = self._start(kept, range(len(self._order)))
        best = start and self._heaviest(start, size)
        return best.weight if best else None

    def first_heaviest(
        self, size: int, kept: Sequence[int], among: Sequence[int]
    ) -> list[int] | None:
        """Return the heaviest set of some size; None if there is none.

        Of several it is the first, where sets are compared as rising lists of places.

        Parameters
        ----------
        kept : sequence of int
            The places that it must hold.
        among : sequence of int
            The places that it may hold.
        """
        node = self._start(kept, among)
        best = node and self._heaviest(node, size)
        if node is None or best is None:
            return None
        # Places are added in order, each if a heaviest set holds it beside those added before.
        for place in among:
            bit = self._bit[place]
            if not node.left >> bit & 1:
                continue
            if node.taken == best.taken:
                break
            more = self._with(node, bit)
            found: _Node | None = best
            if not best.taken >> bit & 1:
                found = self._heaviest(more, size, best.weight)
            if found is None:
                node = self._without(node, bit)
            else:
                node, best = more, found
        return self._places(best)

    def all_heaviest(self, most: int, kept: Sequence[int]) -> list[list[int]]:
        """Return every heaviest set of at most so many places, where each weighs more than 0.

        Parameters
        ----------
        kept : sequence of int
            The places that it must hold.
        """
        start = self._start(kept, range(len(self._order)))
        if start is None or len(kept) > most:
            return []
        best, found, stack = start.weight, [start], [start]
        while stack:
            self._count()
            node = stack.pop()
            weight, _ = self._most(node.left, most - node.taken.bit_count())
            if not node.left or node.weight + weight < best:
                continue
            bit = _lowest(node.left)
            more = self._with(node, bit)
            stack.append(self._without(node, bit))
            if more.taken.bit_count() > most:
                continue
            stack.append(more)
            if more.weight > best:
                best, found = more.weight, []
            if more.weight == best:
                found.append(more)
            if len(found) > _MOST_EQUAL:
                raise StateLimitReached
        return [self._places(one) for one in found]

    def _start(self, kept: Sequence[int], among: Sequence[int]) -> _Node | None:
        """Return the partial set of the places that are kept; None if two are too alike."""
        node = _Node(0, 0, sum(1 << self._bit[place] for place in among))
        for place in kept:
            if not node.left >> self._bit[place] & 1:
                return None
            node = self._with(node, self._bit[place])
        return node

    def _heaviest(self, start: _Node, size: int, enough: int | None = None) -> _Node | None:
        """Return the heaviest set of some size that holds a partial one; None if there is none.

        A set that takes neither the heaviest place that is left nor one that is too like it gets
        no lighter if it takes this place in exchange for another. So some heaviest set takes one
        of these.

        Parameters
        ----------
        enough : int, optional
            The first set that weighs as much is returned, and none that weighs less.
        """
        best, stack = None, [start] if start.taken.bit_count() <= size else []
        floor = None if enough is None else enough - 1
        while stack:
            self._count()
            node = stack.pop()
            near = 0
            while node.left and node.taken.bit_count() < size:
                near = self._alike[_lowest(node.left)] & node.left
                if near:
                    break
                node = self._with(node, _lowest(node.left))
            missing = size - node.taken.bit_count()
            if not missing:
                if floor is None or node.weight > floor:
                    best, floor = node, node.weight
                    if enough is not None:
                        break
                continue
            weight, cliques = self._most(node.left, missing)
            if cliques < missing or (floor is not None and node.weight + weight <= floor):
                continue
            branches = []
            for bit in (_lowest(node.left), *_bits(near)):
                branches.append(self._with(node, bit))
                node = self._without(node, bit)
            stack += reversed(branches)
        return best

    def _count(self) -> None:
        self._nodes -= 1
        if self._nodes < 0:
            raise StateLimitReached
        if not self._nodes % 256:
            self._check()

    def _with(self, node: _Node, bit: int) -> _Node:
        left = node.left & ~self._alike[bit] & ~(1 << bit)
        return _Node(node.taken | 1 << bit, node.weight + self._weights[bit], left)

    def _without(self, node: _Node, bit: int) -> _Node:
        return _Node(node.taken, node.weight, node.left & ~(1 << bit))

    def _most(self, left: int, missing: int) -> tuple[int, int]:
        """Return what so many cliques of the places left weigh at most, and how many there are."""
        weight = 0
        for number in range(missing):
            if not left:
                return weight, number
            heaviest = _lowest(left)
            weight += self._weights[heaviest]
            left &= ~(1 << heaviest)
            clique = self._alike[heaviest] & left
            while clique:
                bit = _lowest(clique)
                left &= ~(1 << bit)
                clique &= self._alike[bit]
        return weight, missing

    def _places(self, node: _Node) -> list[int]:
        return sorted(self._order[bit] for bit in _bits(node.taken))


def _lowest(bits: int) -> int:
    return (bits & -bits).bit_length() - 1


def _bits(bits: int) -> Iterator[int]:
    while bits:
        bit = _lowest(bits)
        yield bit
        bits &= ~(1 << bit)
