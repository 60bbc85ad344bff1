"""Which places some best kit may take, and which are dominated by others."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heappush, heappushpop
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kitsolver.shop.catalogue import UNLIMITED
from kitsolver.solve.candidates.candidate import Thread

Array = NDArray[Any]

# A table of which place beats which is quadratic: above so many places a cheap test comes first.
_MOST = 100
# Up to so many places a table of them is faster than a walk.
_FEW = 500


@dataclass(frozen=True)
class PlaceDominance:
    """What decides whether a place is dominated by more others than colours could take.

    Parameters
    ----------
    colours : int
        The most colours that a chart has.
    keep : collection of str
        Rows of which every place is kept.
    exact : bool
        Whether a lower price means that less is paid: not where a discount is rounded.
    alike : bool
        Whether only places of one price can be compared, because dearer goods may be better.
    counted : bool
        Whether quality counts for anything.
    """

    colours: int
    keep: frozenset[str]
    exact: bool
    alike: bool
    counted: bool


class PlaceMeasures:
    """What decides which place does all that another does.

    Parameters
    ----------
    threads : sequence of Thread
        The rows that the places are in.
    rows : array of int
        Of each place the number of its row among these.
    dominance : PlaceDominance
        What is compared.
    """

    def __init__(self, threads: Sequence[Thread], rows: Array, dominance: PlaceDominance) -> None:
        self.dominance = dominance
        home = np.array([not row.sku for row in threads], dtype=bool)[rows]
        packs = np.array([len(row.colours) > 1 for row in threads], dtype=bool)
        self.pack = packs[rows] & ~home
        self.price = np.array([row.price for row in threads])[rows]
        # A shade at home is taken as enough.
        length = np.array([row.skein_length for row in threads])[rows]
        self.length = np.where(home, UNLIMITED, length)
        self.stock = np.where(home, UNLIMITED, np.array([row.stock for row in threads])[rows])
        # What is bought of a row of the home list, the chart decides: no other is compared with it.
        self.listed = np.array([row.listed for row in threads], dtype=bool)[rows]
        keep = dominance.keep
        kept = np.array([row.sku in keep for row in threads], dtype=bool)
        self.kept = self.listed | kept[rows]
        # Shades at home make no line: where kits tie, they come neither first nor last.
        self.rank = np.where(home, -1, np.arange(len(rows)))

    def unbeaten(self, at: Array, points: Array) -> Array:
        """Return which places are beaten by fewer others than colours could take.

        Parameters
        ----------
        at : array of int
            The numbers of places near a charted colour.
        points : array of int
            What each counts for it.
        """
        if not self.dominance.alike:
            return self._unbeaten(at, points)
        unbeaten = np.zeros(len(at), dtype=bool)
        order = np.lexsort((self.length[at], self.price[at]))
        differ = np.diff(self.price[at][order]) | np.diff(self.length[at][order])
        for group in np.split(order, np.flatnonzero(differ) + 1):
            unbeaten[group] = self._unbeaten(at[group], points[group])
        return unbeaten

    def _unbeaten(self, at: Array, points: Array) -> Array:
        if len(at) > _MOST:
            rest = np.flatnonzero(self._not_far_off(at, points))
            if len(rest) < len(at):
                unbeaten = np.zeros(len(at), dtype=bool)
                unbeaten[rest] = self._unbeaten(at[rest], points[rest])
                return unbeaten
        pack, free = self.pack[at], self.price[at] == 0
        unbeaten = np.ones(len(at), dtype=bool)
        # A pack may cost nothing more, so that only what is free and counts more beats its places.
        others = np.flatnonzero(~(pack | self.listed[at]))
        mine = np.arange(len(at)) if free[others].any() else others
        if len(others) < self.dominance.colours:
            return unbeaten

        def pairs(measure: Array) -> tuple[Array, Array]:
            return measure[mine, None], measure[others]

        (my_price, their_price), (my_length, their_length) = map(
            pairs, (self.price[at], self.length[at])
        )
        (my_stock, their_stock), (my_rank, their_rank) = map(pairs, (self.stock[at], self.rank[at]))
        my_points, their_points = pairs(points)
        as_good = (their_price <= my_price) & (their_length >= my_length)
        as_good &= their_stock >= my_stock
        preferred = (their_rank >= 0) & (their_rank < my_rank)
        if self.dominance.exact:
            preferred |= their_price < my_price
        single = ~pack[mine, None]
        beats = (their_points > my_points) | ((their_points == my_points) & preferred & single)
        beats &= as_good & (single | free[others])
        unbeaten[mine] = beats.sum(axis=1) < self.dominance.colours
        return np.asarray(unbeaten | self.kept[at])

    def _not_far_off(self, at: Array, points: Array) -> Array:
        """Return which places are beaten by fewer others than colours could take, at first sight.

        Of those others only such are seen as are never short, and count more for no more money.
        """
        ample = (
            ~(self.pack | self.listed)[at] & (self.stock[at] == UNLIMITED) & (self.rank[at] >= 0)
        )
        ample &= self.length[at] >= self.length[at].max()
        kept = np.array(self.kept[at] | self.pack[at])
        order = np.lexsort((self.rank[at], self.price[at]))
        exact, colours = self.dominance.exact, self.dominance.colours
        if exact and points.min() == points.max():
            # Whatever comes before is to be preferred.
            before = np.cumsum(ample[order]) - ample[order]
            kept[order] |= before < colours
            return kept
        if len(at) <= _FEW:
            price, others = self.price[at], np.flatnonzero(ample)
            more = points[others] > points[:, None]
            if exact:
                more |= (points[others] == points[:, None]) & (price[others] < price[:, None])
            more &= price[others] <= price[:, None]
            return np.asarray(kept | (more.sum(axis=1) < colours))
        seen: list[int] = []
        for place in order.tolist():
            number = int(points[place])
            full = len(seen) == colours
            kept[place] |= not full or number > seen[0] or (number == seen[0] and not exact)
            if ample[place]:
                (heappushpop if full else heappush)(seen, number)
        return kept
