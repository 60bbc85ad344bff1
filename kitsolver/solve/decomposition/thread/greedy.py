"""A quick assignment of thread: every colour gets a place of its own, for little money.

The kit that it makes need not be the cheapest. Often it is within a limit all the same, and then no
frontier is needed to tell that there is such a kit.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from kitsolver.solve.candidates.candidate import Place
from kitsolver.solve.decomposition.thread.assignment import Assignment, cost_of
from kitsolver.solve.decomposition.thread.frontier import ThreadSubproblem


class GreedyThread(NamedTuple):
    """Some assignment of all colours, and what it costs in minor units."""

    cost: int
    assignments: tuple[Assignment, ...]

    @property
    def places(self) -> tuple[tuple[int, Place], ...]:
        """The colours, by number, each with the place that it is given."""
        return tuple((one.colour, one.place) for one in self.assignments)


def greedy_thread(thread: ThreadSubproblem) -> GreedyThread | None:
    """Return some assignment of all colours, each kept row having one; None if none was found."""
    cheapest = thread.cheapest_alike
    if cheapest is not None:
        return GreedyThread(cost_of(cheapest), tuple(cheapest))
    choices = _with_kept(thread)
    if choices is None:
        return None
    by_cost = [sorted(colour, key=lambda a: (a.cost, a.key)) for colour in choices]
    owner: dict[tuple[str, int], Assignment] = {}
    for colour in sorted(by_cost, key=len):
        if not _assigned(colour, by_cost, owner, set()):
            return None
    found = {assignment.colour: assignment for assignment in owner.values()}
    _improve(found, choices)
    return GreedyThread(cost_of(found.values()), tuple(found.values()))


def _with_kept(thread: ThreadSubproblem) -> list[list[Assignment]] | None:
    """Return what each colour chooses from where some colour is given to each kept row.

    That is the colour for which the row costs least; None if none is left for a row.
    """
    found = [*thread.assignments]
    given: set[int] = set()
    for sku in sorted(thread.kept):
        possible = [
            assignment
            for colour in thread.assignments
            for assignment in colour
            if assignment.sku == sku and assignment.colour not in given
        ]
        if not possible:
            return None
        first = min(possible, key=lambda a: (a.cost, a.colour, a.key))
        found[first.colour] = [first]
        given.add(first.colour)
    return found


def _improve(found: dict[int, Assignment], choices: Sequence[Sequence[Assignment]]) -> None:
    """Move colours into packs, and to single threads that became free, while that saves money."""
    by_row: dict[str, list[Assignment]] = defaultdict(list)
    for colour in choices:
        for one in colour:
            by_row[one.sku].append(one)
    rows = sorted(by_row.items())
    while True:
        paid: dict[str, list[int]] = defaultdict(list)
        for one in found.values():
            paid[one.sku].append(one.cost)
        # What each colour saves if its row is no longer bought for it.
        saves = {
            number: one.cost if len(paid[one.sku]) == 1 or not one.sku else 0
            for number, one in found.items()
        }
        taken = {one.key for one in found.values()}
        row_of = {number: one.sku for number, one in found.items()}
        best, moved = 0, list[Assignment]()
        for sku, offers in rows:
            free = [
                one
                for one in offers
                if saves[one.colour] and row_of[one.colour] != sku and one.key not in taken
            ]
            bought = max(paid.get(sku, [0]))
            for some in _moves(free, saves):
                dearer = max(0, max(one.cost for one in some) - bought)
                gain = sum(saves[one.colour] for one in some) - dearer
                if gain > best:
                    best, moved = gain, some
        if not best:
            return
        found |= {assignment.colour: assignment for assignment in moved}


def _moves(offers: list[Assignment], saves: dict[int, int]) -> Iterator[list[Assignment]]:
    """Yield offers of one row that can be taken together, for each number of its units."""
    if len({one.key for one in offers}) <= 1:
        # Most rows are single threads.
        yield from ([one] for one in offers)
        return
    for units in sorted({one.units for one in offers}):
        yield _served([one for one in offers if one.units <= units], saves)


def _served(offers: list[Assignment], saves: dict[int, int]) -> list[Assignment]:
    """Return offers of places of one row, a place to a colour, first those that save most."""
    found: dict[tuple[str, int], Assignment] = {}
    served: set[int] = set()
    for one in sorted(offers, key=lambda o: (-saves[o.colour], o.colour, o.key)):
        if one.colour not in served and one.key not in found:
            found[one.key] = one
            served.add(one.colour)
    return list(found.values())


def _assigned(
    colour: list[Assignment],
    by_cost: list[list[Assignment]],
    owner: dict[tuple[str, int], Assignment],
    seen: set[tuple[str, int]],
) -> bool:
    """Give a colour a place; where all are taken, let another colour move (Kuhn 1955)."""
    for assignment in colour:
        if assignment.key not in owner:
            owner[assignment.key] = assignment
            return True
    for assignment in colour:
        key = assignment.key
        if key in seen:
            continue
        seen.add(key)
        if _assigned(by_cost[owner[key].colour], by_cost, owner, seen):
            owner[key] = assignment
            return True
    return False
