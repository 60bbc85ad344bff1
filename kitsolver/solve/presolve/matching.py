"""Which thread colours are near which charted colours, found once for all charts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from heapq import heappush, heappushpop
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kitsolver.brief.stitching import Shades
from kitsolver.craft.colour import DIFFERENCE_UNIT, differences
from kitsolver.shop.catalogue import UNLIMITED
from kitsolver.shop.palette import Palette
from kitsolver.solve.candidates.candidate import Place, Thread
from kitsolver.solve.candidates.quantities import place_points

Array = NDArray[Any]

# A table of which place beats which is quadratic: above so many places a cheap test comes first.
_MOST = 100
# More than the difference of any two colours; and a mark beyond any difference.
_ANY = 1000 * DIFFERENCE_UNIT
_FAR = 2**40


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


def places_near(
    charted: Sequence[str],
    threads: Sequence[Thread],
    palette: Palette,
    tolerance: int,
    mismatch: Fraction,
    dominance: PlaceDominance | None = None,
) -> Mapping[str, list[Place]]:
    """Return for each charted colour the places within a tolerance, in the threads' order.

    Parameters
    ----------
    charted : sequence of str
        Distinct colours.
    threads : sequence of Thread
        Each of their colours is a place; sorted by sku.
    palette : Palette
        With all of these colours.
    tolerance : int
        In ten-thousandths of CIEDE2000.
    mismatch : Fraction
        Quality points lost per unit of difference.
    dominance : PlaceDominance, optional
        If places that can be in no best kit may be left out.
    """
    places = [(thread, i) for thread in threads for i in range(len(thread.colours))]
    if not places or not charted:
        return {colour: [] for colour in charted}
    if dominance and not dominance.counted and tolerance >= _ANY:
        # Every place is near every colour and counts alike: dominance is the same for all colours.
        alike = np.zeros(len(places), dtype=np.int64)
        useful = _Measures(places, dominance).unbeaten(np.arange(len(places)), alike)
        places = [place for place, kept in zip(places, useful.tolist(), strict=True) if kept]
        palette = Palette(thread.colours[i] for thread, i in places)
    number = np.array([palette.number[thread.colours[i]] for thread, i in places])
    quality = np.array([thread.points for thread, _ in places])
    measures = dominance and _Measures(places, dominance)
    far = np.full(len(palette), _FAR)
    found: dict[str, list[Place]] = {}
    for colour in charted:
        close, differences = palette.near(colour, tolerance)
        far[close] = differences
        at = np.flatnonzero(far[number] < _FAR)
        away = far[number[at]]
        far[close] = _FAR
        points = place_points(quality[at], away, mismatch)
        if dominance and measures:
            useful = measures.unbeaten(at, points if dominance.counted else np.zeros_like(points))
            at, away, points = at[useful], away[useful], points[useful]
        found[colour] = [
            Place(places[i][0], places[i][1], difference, count)
            for i, difference, count in zip(
                at.tolist(), away.tolist(), points.tolist(), strict=True
            )
        ]
    return found


def any_place(
    charted: Iterable[str], threads: Sequence[Thread], shades: Shades
) -> Mapping[str, list[Place]]:
    """Return for each charted colour every place, where colours are free.

    The difference that costs points is the one to the nearest colour wished for; none where
    nothing is wished for.
    """
    places = [(thread, i) for thread in threads for i in range(len(thread.colours))]
    away = np.zeros(len(places), dtype=np.int64)
    if shades.wish and places:
        away = differences([thread.colours[i] for thread, i in places], shades.wish).min(axis=1)
    quality = np.array([thread.points for thread, _ in places], dtype=np.int64)
    points = place_points(quality, away, Fraction(shades.mismatch))
    found = [
        Place(thread, i, difference, count)
        for (thread, i), difference, count in zip(
            places, away.tolist(), points.tolist(), strict=True
        )
    ]
    return dict.fromkeys(charted, found)


class _Measures:
    """What decides which place does all that another does."""

    def __init__(self, places: Sequence[tuple[Thread, int]], dominance: PlaceDominance) -> None:
        self.dominance = dominance
        rows = [thread for thread, _ in places]
        home = np.array([not row.sku for row in rows])
        self.pack = np.array([len(row.colours) > 1 for row in rows]) & ~home
        self.price = np.array([row.price for row in rows])
        # A shade at home is taken as enough.
        self.length = np.where(home, UNLIMITED, [row.skein_length for row in rows])
        self.stock = np.where(home, UNLIMITED, [row.stock for row in rows])
        self.kept = np.array([row.sku in dominance.keep for row in rows])
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
        price, length, stock = self.price[at], self.length[at], self.stock[at]
        pack, rank = self.pack[at], self.rank[at]

        def pairs(measure: Array) -> tuple[Array, Array]:
            return measure[:, None], measure[None, :]

        (mine, theirs), (my_length, their_length) = pairs(price), pairs(length)
        (my_points, their_points), (my_rank, their_rank) = pairs(points), pairs(rank)
        as_good = ~pack[None, :] & (theirs <= mine) & (their_length >= my_length)
        as_good &= stock[None, :] >= stock[:, None]
        better = their_points > my_points
        preferred = (their_rank >= 0) & (their_rank < my_rank)
        if self.dominance.exact:
            preferred |= theirs < mine
        # A pack may cost nothing more, so that only what is free and counts more beats its places.
        beats = better | ((their_points == my_points) & preferred & ~pack[:, None])
        beats &= as_good & (~pack[:, None] | (theirs == 0))
        return np.asarray(self.kept[at] | (beats.sum(axis=1) < self.dominance.colours))

    def _not_far_off(self, at: Array, points: Array) -> Array:
        """Return which places are beaten by fewer others than colours could take, at first sight.

        Of those others only such are seen as are never short, and count more for no more money.
        """
        ample = ~self.pack[at] & (self.stock[at] == UNLIMITED) & (self.rank[at] >= 0)
        ample &= self.length[at] >= self.length[at].max()
        kept = np.array(self.kept[at] | self.pack[at])
        order = np.lexsort((self.rank[at], self.price[at]))
        exact, colours = self.dominance.exact, self.dominance.colours
        if exact and points.min() == points.max():
            # Whatever comes before is to be preferred.
            before = np.cumsum(ample[order]) - ample[order]
            kept[order] |= before < colours
            return kept
        seen: list[int] = []
        for place in order.tolist():
            number = int(points[place])
            full = len(seen) == colours
            kept[place] |= not full or number > seen[0] or (number == seen[0] and not exact)
            if ample[place]:
                (heappushpop if full else heappush)(seen, number)
        return kept
