"""The model's variables of matched thread: places given to chart colours, and what is bought."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from fractions import Fraction
from typing import TYPE_CHECKING, Any, NamedTuple

from kitsolver.solve.candidates.candidate import Place, Thread
from kitsolver.solve.candidates.quantities import thread_units
from kitsolver.solve.model.colour_groups import Group
from kitsolver.solve.rules.stock import in_stock

if TYPE_CHECKING:
    from kitsolver.solve.model.kit_model import KitModel

Variable = Any  # a variable of MathOpt, which ships no types
Linear = Any  # a variable, or a linear expression of variables, of MathOpt


class PlaceVariable(NamedTuple):
    """A place that a group of chart colours may be given.

    Parameters
    ----------
    units : int
        The units of its row that all pools take.
    counts : tuple of Fraction or None
        The effective counts at which it takes as many.
    taken : variable
        1 if the place is given to the group.
    """

    place: Place
    units: int
    counts: tuple[Fraction | None, ...]
    taken: Variable


class ThreadRow(NamedTuple):
    """A thread row with its places.

    Parameters
    ----------
    places : list of list of PlaceVariable
        For each of its colours the ways to give it away.
    bought : dict of int to linear expression
        By the units that all pools take, what is 1 if they take as many.
    """

    places: list[list[PlaceVariable]]
    bought: dict[int, Linear]

    @property
    def thread(self) -> Thread:
        """The row."""
        return self.places[0][0].place.thread

    @property
    def pack(self) -> bool:
        """Whether several of its colours may be given away."""
        return bool(self.bought) and len(self.places) > 1


def place_variables(model: KitModel, place: Place, group: Group) -> Iterator[PlaceVariable]:
    """Yield for a place a variable for each number of units that it takes at some counts."""
    brief = model.candidates.brief
    by_units: dict[int, list[Fraction | None]] = defaultdict(list)
    for count in model.counts:
        by_units[thread_units(place.thread, group.asked, count, brief)].append(count)
    for units, counts in by_units.items():
        if in_stock(place.thread, units):
            yield PlaceVariable(place, units, tuple(counts), model.flag())


def thread_row(model: KitModel, places: list[list[PlaceVariable]]) -> ThreadRow:
    """Return a thread row with what is bought of it: of a single what its place takes."""
    thread = places[0][0].place.thread
    if not thread.sku:
        return ThreadRow(places, {})
    bought: dict[int, Linear] = {}
    for units in sorted({one.units for place in places for one in place}):
        if len(places) > 1:
            bought[units] = model.flag()
        else:
            taking = (one.taken for one in places[0] if one.units == units)
            bought[units] = model.total(taking)
        model.add_line(thread, units, bought[units])
    return ThreadRow(places, bought)
