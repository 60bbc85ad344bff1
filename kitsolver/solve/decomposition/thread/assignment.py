"""A place of thread that one colour of a chart may be given, what it costs and what it counts."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from kitsolver.solve.candidates.candidate import Chart, Place, Thread
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.quantities import thread_units
from kitsolver.solve.rules.stock import in_stock

# What decides how many units of a row a colour takes, with how many these are, colour by colour.
_Alike = tuple[int, int, bool]
Units = tuple[tuple[tuple[_Alike, int], ...], ...]


class Assignment(NamedTuple):
    """A place that one colour of the chart may be given.

    `colour` is the colour's number in the chart; `units` are those of the row that all pools take
    (`kitsolver.solve.candidates.quantities.thread_units`).
    """

    colour: int
    place: Place
    units: int

    @property
    def bought(self) -> int:
        """How many of the units are bought, where nobody else uses the row."""
        return self.place.thread.bought(self.units)

    @property
    def thread(self) -> Thread:
        """The row that the place is in."""
        return self.place.thread

    @property
    def sku(self) -> str:
        """The row's sku, empty at home."""
        return self.place.thread.sku


class Costs(NamedTuple):
    """What assignments cost and count.

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

    def cost(self, assignment: Assignment) -> int:
        """Return what an assignment costs where nobody else uses its row, in minor units."""
        return assignment.thread.cost_of(assignment.units)

    def points(self, assignment: Assignment) -> int:
        """Return what an assignment counts in the first figure."""
        return self.weight * assignment.place.points

    def in_stock(self, assignment: Assignment) -> bool:
        """Tell whether there are units enough of an assignment."""
        return in_stock(assignment.thread, assignment.units)

    def array(self, numbers: Iterable[int]) -> NDArray[Any]:
        """Return numbers as an array."""
        return np.array(list(numbers), dtype=object if self.large else np.int64)


def shared_packs(assignments: Sequence[Sequence[Assignment]]) -> frozenset[str]:
    """Return the packs that more than one colour could use: only these share what they cost."""
    users: dict[str, set[int]] = defaultdict(set)
    for number, colour in enumerate(assignments):
        for assignment in colour:
            if assignment.sku and len(assignment.thread.colours) > 1:
                users[assignment.sku].add(number)
    return frozenset(sku for sku, colours in users.items() if len(colours) > 1)


def units_at(count: Fraction | None, chart: Chart, candidates: Candidates) -> Units:
    """Return for each colour of a chart the units of rows that it takes at an effective count.

    Rows that hold as much take as many.
    """
    return tuple(
        tuple(
            (alike, thread_units(thread, asked, count, candidates.brief))
            for alike, thread in {holds_alike(place.thread): place.thread for place in near}.items()
        )
        for asked, near in zip(chart.shades or (), candidates.places(chart), strict=True)
    )


def assignments_of(units: Units, chart: Chart, candidates: Candidates) -> list[list[Assignment]]:
    """Return for each colour of a chart the places that it may be given, with their units."""
    each = zip(candidates.places(chart), map(dict, units), strict=True)
    return [
        [Assignment(number, place, taken[holds_alike(place.thread)]) for place in near]
        for number, (near, taken) in enumerate(each)
    ]


def holds_alike(thread: Thread) -> _Alike:
    """Return what decides how many units of a thread row a colour takes."""
    return thread.skein_length, thread.home_length, bool(thread.sku)
