"""A place of thread that one colour of a chart may be given, what it costs and what it counts."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from kitsolver.brief.brief import Brief
from kitsolver.craft.thread import Charted
from kitsolver.solve.candidates.candidate import Chart, Place, Thread
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.quantities import thread_units
from kitsolver.solve.rules.stock import in_stock

# What decides how many units of a row a colour takes.
_Alike = tuple[int, int, bool]
# The units of rows that each colour takes, in the order of `ColourPlaces.rows`.
Units = tuple[tuple[int, ...], ...]


class Assignment(NamedTuple):
    """A place that one colour of the chart may be given.

    Parameters
    ----------
    colour : int
        The colour's number in the chart.
    place : Place
        The place.
    units : int
        Those of the row that all pools take (`kitsolver.solve.candidates.quantities.thread_units`).
    bought : int
        How many of them are bought, where nobody else uses the row.
    cost : int
        In minor units, where nobody else uses the row.
    sku : str
        The row's sku, empty at home.
    key : tuple of str and int
        The place's key.
    """

    colour: int
    place: Place
    units: int
    bought: int
    cost: int
    sku: str
    key: tuple[str, int]

    @property
    def thread(self) -> Thread:
        """The row that the place is in."""
        return self.place.thread


def assigned(colour: int, place: Place, units: int) -> Assignment:
    """Return a place that a colour may be given, of whose row it takes some units."""
    thread = place.thread
    bought = thread.bought(units)
    return Assignment(colour, place, units, bought, bought * thread.price, thread.sku, place.key)


class Costs(NamedTuple):
    """What assignments count.

    Parameters
    ----------
    weight : int
        What a hundredth of a point counts in the first figure.
    worth_of_point : int
        What a hundredth of a point is worth.
    large : bool
        Whether scores may leave 64 bits.
    """

    weight: int
    worth_of_point: int
    large: bool

    def points(self, assignment: Assignment) -> int:
        """Return what an assignment counts in the first figure."""
        return self.weight * assignment.place.points

    def in_stock(self, assignment: Assignment) -> bool:
        """Tell whether there are units enough of an assignment."""
        return in_stock(assignment.thread, assignment.units)

    def array(self, numbers: Iterable[int]) -> NDArray[Any]:
        """Return numbers as an array."""
        return np.array(list(numbers), dtype=object if self.large else np.int64)


def cost_of(assignments: Iterable[Assignment]) -> int:
    """Return what assignments of all colours cost together, in minor units."""
    rows: dict[str, list[int]] = defaultdict(list)
    for one in assignments:
        rows[one.sku].append(one.cost)
    # A row that serves several colours is bought for the one that needs most.
    return sum(max(costs) if sku else sum(costs) for sku, costs in rows.items())


def shared_packs(assignments: Sequence[Sequence[Assignment]]) -> frozenset[str]:
    """Return the packs that more than one colour could use: only these share what they cost."""
    users: dict[str, set[int]] = defaultdict(set)
    for number, colour in enumerate(assignments):
        for assignment in colour:
            if assignment.sku and len(assignment.thread.colours) > 1:
                users[assignment.sku].add(number)
    return frozenset(sku for sku, colours in users.items() if len(colours) > 1)


class ColourPlaces(NamedTuple):
    """The places that one colour of a chart may be given, at any effective count.

    Parameters
    ----------
    asked : Charted
        What the chart asks of the colour.
    places : sequence of Place
        Where it may be.
    rows : sequence of Thread
        One of all rows that hold as much: the colour takes as many units of them.
    row : sequence of int
        Of each place the number, among these, of the one that holds as much as its row.
    """

    asked: Charted
    places: Sequence[Place]
    rows: Sequence[Thread]
    row: Sequence[int]


def colour_places(chart: Chart, candidates: Candidates) -> list[ColourPlaces]:
    """Return for each colour of a chart the places that it may be given."""
    found = []
    for asked, near in zip(chart.shades or (), candidates.places(chart), strict=True):
        number: dict[_Alike, int] = {}
        row = [number.setdefault(holds_alike(place.thread), len(number)) for place in near]
        first = [row.index(one) for one in range(len(number))]
        found.append(ColourPlaces(asked, near, [near[one].thread for one in first], row))
    return found


def units_at(count: Fraction | None, colours: Sequence[ColourPlaces], brief: Brief) -> Units:
    """Return for each colour of a chart the units of rows that it takes at an effective count."""
    return tuple(
        tuple(thread_units(thread, colour.asked, count, brief) for thread in colour.rows)
        for colour in colours
    )


def assignments_of(units: Units, colours: Sequence[ColourPlaces]) -> list[list[Assignment]]:
    """Return for each colour of a chart the places that it may be given, with their units."""
    return [
        [
            assigned(number, place, taken[row])
            for place, row in zip(colour.places, colour.row, strict=True)
        ]
        for number, (colour, taken) in enumerate(zip(colours, units, strict=True))
    ]


def holds_alike(thread: Thread) -> _Alike:
    """Return what decides how many units of a thread row a colour takes."""
    return thread.skein_length, thread.home_length, bool(thread.sku)
