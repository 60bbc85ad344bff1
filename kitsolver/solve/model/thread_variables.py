"""The model's variables of matched thread: places given to chart colours, and what is bought."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from fractions import Fraction
from typing import TYPE_CHECKING, Any, NamedTuple

from kitsolver.solve.candidates.candidate import Place, Thread
from kitsolver.solve.candidates.quantities import pools, skeins_of
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
    skeins : int
        What it takes in each pool.
    counts : tuple of Fraction or None
        The effective counts at which it takes as many.
    taken : variable
        1 if the place is given to the group.
    """

    place: Place
    skeins: int
    counts: tuple[Fraction | None, ...]
    taken: Variable


class ThreadRow(NamedTuple):
    """A thread row with its places.

    Parameters
    ----------
    places : list of list of PlaceVariable
        For each of its colours the ways to give it away.
    bought : dict of int to linear expression
        By the skeins of each colour that a pool buys, what is 1 if it buys as many.
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
    """Yield for a place a variable for each number of skeins that it takes at some counts."""
    brief = model.candidates.brief
    by_skeins: dict[int, list[Fraction | None]] = defaultdict(list)
    for count in model.counts:
        at_home = not place.thread.sku
        by_skeins[0 if at_home else skeins_of(place, group.asked, count, brief)].append(count)
    number, _ = pools(brief)
    for skeins, counts in by_skeins.items():
        if in_stock(place.thread, skeins * number):
            yield PlaceVariable(place, skeins, tuple(counts), model.flag())


def thread_row(model: KitModel, places: list[list[PlaceVariable]]) -> ThreadRow:
    """Return a thread row with what is bought of it: of a single what its place takes."""
    thread = places[0][0].place.thread
    if not thread.sku:
        return ThreadRow(places, {})
    number, _ = pools(model.candidates.brief)
    bought: dict[int, Linear] = {}
    for skeins in sorted({one.skeins for place in places for one in place}):
        if len(places) > 1:
            bought[skeins] = model.flag()
        else:
            taking = (one.taken for one in places[0] if one.skeins == skeins)
            bought[skeins] = model.total(taking)
        model.add_line(thread, skeins * number, bought[skeins])
    return ThreadRow(places, bought)
