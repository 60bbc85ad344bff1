"""How many colours can be taken of which every two differ enough: a largest clique, or a bound.

Branch and bound over sets of bits: the vertices that are left are coloured greedily, and a clique
has no two vertices of one class, so the number of classes bounds what can still be added (Tomita
and Seki 2003, DMTCS; recalled from memory).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

# So many sets are gone through before the bound of the greedy colouring has to do.
_MOST_SETS = 20_000


def most_apart(alike: NDArray[np.bool_], enough: int) -> int:
    """Return how many colours every two of which differ can be taken at most, or more.

    Parameters
    ----------
    alike : array of bool, shape (n, n)
        Which two colours are too alike.
    enough : int
        If there are as many, more are not looked for.
    """
    apart = ~alike
    np.fill_diagonal(apart, val=False)
    packed = np.packbits(apart, axis=1, bitorder="little")
    search = _Cliques([int.from_bytes(row.tobytes(), "little") for row in packed], enough)
    return search.most()


class _Cliques:
    """A search for a largest clique; vertices are numbers, and sets of them are bits."""

    def __init__(self, neighbours: list[int], enough: int) -> None:
        self.neighbours, self.enough = neighbours, enough
        self.best, self.left = 0, _MOST_SETS

    def most(self) -> int:
        """Return the size of a largest clique, or an upper bound where that takes too long."""
        every = (1 << len(self.neighbours)) - 1
        self._grow(every, 0)
        if self.left >= 0 or self.best >= self.enough:
            return min(self.best, self.enough)
        return min(self.enough, max((number for _, number in self._classes(every)), default=0))

    def _grow(self, among: int, size: int) -> None:
        """Extend a clique of some size by vertices that are neighbours of all its own."""
        self.best = max(self.best, size)
        for vertex, number in reversed(self._classes(among)):
            self.left -= 1
            if self.left < 0 or self.best >= self.enough or size + number <= self.best:
                return
            self._grow(among & self.neighbours[vertex], size + 1)
            among &= ~(1 << vertex)

    def _classes(self, among: int) -> list[tuple[int, int]]:
        """Return vertices with the numbers of their classes, from 1, in rising order."""
        found, number = list[tuple[int, int]](), 0
        while among:
            number, rest = number + 1, among
            while rest:
                vertex = (rest & -rest).bit_length() - 1
                found.append((vertex, number))
                among &= ~(1 << vertex)
                rest &= ~(1 << vertex) & ~self.neighbours[vertex]
        return found
