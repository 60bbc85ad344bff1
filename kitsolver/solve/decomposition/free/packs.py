"""Packs for free colours: which sets of packs may be bought, and what each can bring at most.

Every set of packs has best ways of its own to colour a chart. Two relaxations bound them. Where
every colour takes as few units as any, the best ways are the same for many charts. And where some
more packs are bought, as many colours as these can serve at once cost nothing, and the others are
given places in the best way, whatever these packs' colours are like.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

from kitsolver.solve.decomposition.free.colours import Bought, FreeColours, Taking
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.time_limit import TimeLimit

# What a way costs, and what it counts.
Point = tuple[int, int]
# Tells whether something that costs and counts no better than some points is of use.
Useful = Callable[[Iterable[Point]], bool]


class _Option(NamedTuple):
    """A pack in some units: its cost, and what it counts if it serves none, one, two … colours."""

    line: tuple[str, int]
    cost: int
    counted: tuple[int, ...]


class PackSet:
    """A set of packs, with bounds on what any chart's colours cost and count with it.

    Parameters
    ----------
    bought : tuple of (str, int)
        The packs and their units.
    cost : int
        What they cost.
    relaxed : sequence of sequence of (int, int)
        By number of colours a bound on what these cost, but for the packs, and count.
    further : sequence of sequence of _Option
        The packs that may be added.
    walked : callable
        Returns closer bounds for some packs; None if there are too many ways.
    """

    def __init__(
        self,
        bought: Bought,
        cost: int,
        relaxed: Sequence[Sequence[Point]],
        further: Sequence[Sequence[_Option]],
        walked: Callable[[Bought], list[list[Point]] | None],
    ) -> None:
        self.bought, self.cost, self.relaxed = bought, cost, relaxed
        self.further, self.walked = further, walked

    @cached_property
    def ways(self) -> Sequence[Sequence[Point]]:
        """By number of colours what these cost at least, but for the packs, and count at most."""
        return self.walked(self.bought) or self.relaxed

    @cached_property
    def _children(self) -> list[list[PackSet]]:
        return [
            [
                PackSet(
                    tuple(sorted((*self.bought, option.line))),
                    self.cost + option.cost,
                    [list(_best(_served(option, self.ways, n))) for n in range(len(self.ways))],
                    self.further[at + 1 :],
                    self.walked,
                )
                for option in options
            ]
            for at, options in enumerate(self.further)
        ]

    @cached_property
    def _with_further(self) -> list[list[list[Point]]]:
        """By the first of the packs that may be added, and number of colours, the best points."""
        return _with_packs(self.ways, self.further)

    @cached_property
    def _at_first_sight(self) -> list[list[Point]]:
        return _with_packs(self.relaxed, self.further)[0]

    def where(self, colours: int, useful: Useful) -> Iterator[PackSet]:
        """Yield this set, and those that have further packs, of which a test says that they help.

        Parameters
        ----------
        colours : int
            How many there are.
        """
        if not useful(self._paid(self._at_first_sight[colours])):
            return
        if useful(self._paid(self.ways[colours])):
            yield self
        for at, children in enumerate(self._children):
            if not useful(self._paid(self._with_further[at][colours])):
                return
            for child in children:
                yield from child.where(colours, useful)

    def best(self, colours: int) -> Iterator[Point]:
        """Yield what this set and all with further packs cost and count at best."""
        return self._paid(self._with_further[0][colours])

    def _paid(self, points: Iterable[Point]) -> Iterator[Point]:
        return ((cost + self.cost, counted) for cost, counted in points)


def _with_packs(
    ways: Sequence[Sequence[Point]], packs: Sequence[Sequence[_Option]]
) -> list[list[list[Point]]]:
    """Return, from each of some packs on, what it and the later ones may bring to some ways."""
    found = [[list(points) for points in ways]]
    for options in reversed(packs):
        later = found[-1]
        found.append(
            [
                list(
                    _best(
                        (
                            *later[number],
                            *(
                                (cost + option.cost, counted)
                                for option in options
                                for cost, counted in _served(option, later, number)
                            ),
                        )
                    )
                )
                for number in range(len(ways))
            ]
        )
    return found[::-1]


def _served(option: _Option, others: Sequence[Sequence[Point]], number: int) -> Iterator[Point]:
    """Yield what so many colours cost and count where a pack serves one or more of them."""
    for served in range(1, min(number, len(option.counted) - 1) + 1):
        more = option.counted[served]
        for cost, counted in others[number - served]:
            yield cost, counted + more


def _best(points: Iterable[Point]) -> Iterator[Point]:
    """Yield the points that no other dominates."""
    at_cost: dict[int, int] = {}
    for cost, counted in points:
        if counted > at_cost.get(cost, -1):
            at_cost[cost] = counted
    most = -1
    for cost, counted in sorted(at_cost.items()):
        if counted > most:
            most = counted
            yield cost, counted


class FreePacks:
    """The sets of packs for all charts.

    Parameters
    ----------
    colours : FreeColours
        What free colours choose from.
    """

    def __init__(self, colours: FreeColours) -> None:
        self.colours = colours
        self._known: dict[tuple[frozenset[Taking], int, frozenset[str]], PackSet | None] = {}

    def sets(
        self, taking: Sequence[Taking], barred: frozenset[str], time_limit: TimeLimit
    ) -> PackSet | None:
        """Return the set of no packs, which leads to all others.

        None if single threads alone have too many best ways.

        Parameters
        ----------
        taking : sequence of Taking
            What each colour of a chart takes.
        barred : frozenset of str
            The thread colours that are too like the cloth.

        Raises
        ------
        StateLimitReached
            If a pack must be used, or if goods that cost a pack more may be as good: one does not
            see whether it is used.
        OutOfTime
            If there is no time left.
        """
        dearer_may_be_better = self.colours.brief.exact_till.has_gap and self.colours.packs
        if dearer_may_be_better or self.colours.kept & self.colours.packs.keys():
            raise StateLimitReached
        if len(set(taking)) > 1:
            alike = self.colours.shared(self.colours.as_few_units(taking, len(taking)))
        else:
            alike = self.colours.shared(taking)
        key = frozenset(taking), len(alike), barred

        def walked(bought: Bought) -> list[list[Point]] | None:
            answer = self.colours.walked(alike, barred, bought, False, time_limit)
            if answer is None:
                return None
            return [list(_best((one.cost, one.points) for one in found)) for found in answer]

        if key not in self._known:
            options = sorted(self._options(taking), key=lambda each: -each[0].counted[-1])
            singles = walked(())
            self._known[key] = PackSet((), 0, singles, options, walked) if singles else None
        return self._known[key]

    def _options(self, taking: Sequence[Taking]) -> Iterator[list[_Option]]:
        """Yield for each pack the units in which some colour would take it."""
        colours = self.colours
        for sku, pack in colours.packs.items():
            places = [place for place in colours.places if place.thread.sku == sku]
            units = sorted({colours.units_of(places[0], one) for one in taking})
            window = colours.brief.exact_till.window
            if any(other - one < window for one, other in pairwise([0, *map(pack.cost_of, units)])):
                raise StateLimitReached
            points = sorted((place.points for place in places), reverse=True)
            best = points[: colours.most_apart(pack)]
            counted = tuple(
                sum(best[:number]) if colours.counted else 0 for number in range(len(best) + 1)
            )
            yield [_Option((sku, each), pack.cost_of(each), counted) for each in units]
