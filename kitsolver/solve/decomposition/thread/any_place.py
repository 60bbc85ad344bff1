"""The cheapest thread of colours that may all be given the same places.

So it is where thread of any colour will do, and nothing but money counts. Colours then differ only
by how much they take. They are served in the order of that: a row is bought for the colour that
takes most of it, and its other places serve the next colours for nothing. A row is bought only when
no place is left over, and of rows that are alike but for their price the cheapest first. So what
is left to choose is how many rows of each kind are bought, and in which order. A kept row is a kind
of its own: for those that are not bought yet a colour each is left, of those that take least.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator, Sequence
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


class _Kind(NamedTuple):
    """Rows that differ by their price alone, the cheapest first; of a kept kind one is bought."""

    rows: list[_Row]
    kept: bool


class _Bought(NamedTuple):
    """What bought rows cost, and in their order the kind of each and how many colours it serves."""

    cost: int
    rows: tuple[tuple[int, int], ...]


def cheapest_alike(
    colours: Sequence[Sequence[Assignment]], kept: Collection[str] = ()
) -> list[Assignment] | None:
    """Return an assignment of each colour with which thread costs least.

    Parameters
    ----------
    colours : sequence of sequence of Assignment
        For each colour the places that it may be given, of which there is enough.
    kept : collection of str
        Rows of which at least one place is given.

    Returns
    -------
    list of Assignment, or None
        None where colours may not all be given the same places, or not all of them or of the kept
        rows have one.
    """
    rows = _rows(colours)
    if rows is None or not set(kept) <= {row.sku for row in rows}:
        return None
    by_kind: dict[tuple[int, tuple[int | None, ...], str], list[_Row]] = defaultdict(list)
    for row in sorted(rows, key=lambda row: (row.price, row.sku)):
        by_kind[len(row.places[-1]), row.bought, row.sku if row.sku in kept else ""].append(row)
    return _cheapest([_Kind(rows, bool(sku)) for (*_, sku), rows in by_kind.items()], len(colours))


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


def _cheapest(kinds: list[_Kind], colours: int) -> list[Assignment] | None:
    """Return the cheapest assignment of so many colours, with each kept kind bought."""
    # By how many colours have a place, by how many rows of each kind are bought.
    reached: list[dict[tuple[int, ...], _Bought]] = [{} for _ in range(colours + 1)]
    reached[0][(0,) * len(kinds)] = _Bought(0, ())
    states = 0
    for served in range(colours):
        states += len(reached[served])
        if states > _MOST_STATES:
            return None
        for numbers, bought in reached[served].items():
            for number, row, most in _next(kinds, numbers, colours - served):
                cost = row.cost(served)
                if cost is None:
                    continue
                after = (*numbers[:number], numbers[number] + 1, *numbers[number + 1 :])
                there = reached[served + most]
                way = _Bought(bought.cost + cost, (*bought.rows, (number, most)))
                there[after] = min(way, there.get(after, way))
    best = min(reached[colours].values(), default=None)
    return None if best is None else list(_assignments(kinds, best))


def _next(
    kinds: list[_Kind], numbers: tuple[int, ...], left: int
) -> Iterator[tuple[int, _Row, int]]:
    """Yield the next row of each kind, and how many of the colours left it serves at most."""
    waiting = sum(kind.kept and not number for kind, number in zip(kinds, numbers, strict=True))
    for at, (kind, number) in enumerate(zip(kinds, numbers, strict=True)):
        room = left - waiting + kind.kept
        if number < len(kind.rows) and room > 0:
            row = kind.rows[number]
            yield at, row, min(len(row.places[-1]), room)


def _assignments(kinds: list[_Kind], bought: _Bought) -> Iterator[Assignment]:
    rows, served = [iter(kind.rows) for kind in kinds], 0
    for kind, most in bought.rows:
        row = next(rows[kind])
        for place in range(most):
            yield row.places[served + place][place]
        served += most
