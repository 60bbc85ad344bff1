"""The cheapest thread of colours that may all be given the same places.

So it is where thread of any colour will do, and nothing but money counts. Colours then differ only
by how much they take. They are served in the order of that: a row is bought for the colour that
takes most of it, and its other places serve the next colours for nothing. A row is bought only when
no place is left over, and of rows that are alike but for their price the cheapest first. What is
left to choose is how many rows of each kind are bought, and in which order.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from kitsolver.solve.decomposition.thread.assignment import Assignment

# With more numbers of bought rows than these the search is given up.
_MOST_STATES = 20_000


class _Row(NamedTuple):
    """A row, with what it costs where it is bought for a colour; None where it lacks stock.

    `places` has the assignments of each colour to its places.
    """

    price: int
    sku: str
    bought: tuple[int | None, ...]
    places: list[list[Assignment]]

    def cost(self, colour: int) -> int | None:
        """Return what the row costs in minor units if that colour takes most of it."""
        bought = self.bought[colour]
        return None if bought is None else bought * self.price


class _Bought(NamedTuple):
    """How many rows of each kind are bought, what they cost, and the kinds in their order."""

    cost: int
    kinds: tuple[int, ...]


def cheapest_alike(colours: Sequence[Sequence[Assignment]]) -> list[Assignment] | None:
    """Return an assignment of each colour with which thread costs least.

    Parameters
    ----------
    colours : sequence of sequence of Assignment
        For each colour the places that it may be given, of which there is enough.

    Returns
    -------
    list of Assignment, or None
        None where colours may not all be given the same places, or not all of them have one.
    """
    rows = _rows(colours)
    if rows is None:
        return None
    by_kind: dict[tuple[int, tuple[int | None, ...]], list[_Row]] = defaultdict(list)
    for row in sorted(rows, key=lambda row: (row.price, row.sku)):
        by_kind[len(row.places[-1]), row.bought].append(row)
    return _cheapest(list(by_kind.values()), len(colours))


def _rows(colours: Sequence[Sequence[Assignment]]) -> list[_Row] | None:
    """Return the rows, their colours in the order of how much they take; None if not all alike."""
    keys = [{one.key for one in colour} for colour in colours]
    every = max(keys, key=len, default=set())
    if not all(own and own <= every for own in keys):
        return None
    # Fewer places are in stock for colours that take more.
    order = sorted(
        range(len(colours)), key=lambda n: (len(keys[n]), -sum(one.units for one in colours[n]))
    )
    by_row: dict[str | tuple[str, int], list[list[Assignment]]] = {}
    for place, number in enumerate(order):
        for one in colours[number]:
            # Each shade at home is bought by itself, for nothing.
            name = one.sku or one.key
            by_row.setdefault(name, [[] for _ in order])[place].append(one)
    found = []
    for places in by_row.values():
        bought = [max((one.bought for one in some), default=None) for some in places]
        if any(len(some) not in (0, len(places[-1])) for some in places):
            return None
        if any(_more(later, before) for before, later in pairwise(bought)):
            return None
        first = places[-1][0]
        found.append(_Row(first.thread.price, first.sku, tuple(bought), places))
    return found


def _more(later: int | None, before: int | None) -> bool:
    """Tell whether a later colour takes more of a row, or lacks what an earlier one has."""
    return before is not None and (later is None or later > before)


def _cheapest(kinds: list[list[_Row]], colours: int) -> list[Assignment] | None:
    """Return the cheapest assignment, from the rows of each kind, the cheapest of them first."""
    # By how many colours have a place, by how many rows of each kind are bought.
    reached: list[dict[tuple[int, ...], _Bought]] = [{} for _ in range(colours + 1)]
    reached[0][(0,) * len(kinds)] = _Bought(0, ())
    states = 0
    for served in range(colours):
        states += len(reached[served])
        if states > _MOST_STATES:
            return None
        for numbers, bought in reached[served].items():
            for kind, row in _next(kinds, numbers):
                cost = row.cost(served)
                if cost is None:
                    continue
                after = (*numbers[:kind], numbers[kind] + 1, *numbers[kind + 1 :])
                there = reached[min(colours, served + len(row.places[-1]))]
                way = _Bought(bought.cost + cost, (*bought.kinds, kind))
                there[after] = min(way, there.get(after, way))
    best = min(reached[colours].values(), default=None)
    return None if best is None else list(_assignments(kinds, best, colours))


def _next(kinds: list[list[_Row]], numbers: tuple[int, ...]) -> Iterator[tuple[int, _Row]]:
    """Yield the next row of each kind that has one left."""
    for kind, (rows, number) in enumerate(zip(kinds, numbers, strict=True)):
        if number < len(rows):
            yield kind, rows[number]


def _assignments(kinds: list[list[_Row]], bought: _Bought, colours: int) -> Iterator[Assignment]:
    rows, served = [iter(rows) for rows in kinds], 0
    for kind in bought.kinds:
        row = next(rows[kind])
        most = len(row.places[-1])
        for place in range(min(most, colours - served)):
            yield row.places[served + place][place]
        served += most
