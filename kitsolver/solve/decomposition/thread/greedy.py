"""A quick assignment of thread: every colour gets a place of its own, for little money.

The kit that it makes need not be the cheapest. Often it is within a limit all the same, and then no
frontier is needed to tell that there is such a kit.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import NamedTuple

from kitsolver.solve.candidates.candidate import Place
from kitsolver.solve.decomposition.thread.assignment import Assignment, Costs
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
    choices = _with_kept(thread)
    if choices is None:
        return None
    cost = thread.costs.cost
    by_cost = [sorted(colour, key=lambda a: (cost(a), a.place.key)) for colour in choices]
    owner: dict[tuple[str, int], Assignment] = {}
    for colour in sorted(by_cost, key=len):
        if not _assigned(colour, by_cost, owner, set()):
            return None
    found = {assignment.colour: assignment for assignment in owner.values()}
    _improve(found, choices, thread.costs)
    # A row that serves several colours is bought for the one that needs most.
    rows: dict[str, list[int]] = defaultdict(list)
    for assignment in found.values():
        rows[assignment.sku].append(cost(assignment))
    whole = sum(max(costs) if sku else sum(costs) for sku, costs in rows.items())
    return GreedyThread(whole, tuple(found.values()))


def _with_kept(thread: ThreadSubproblem) -> list[list[Assignment]] | None:
    """Return what each colour chooses from where some colour is given to each kept row.

    That is the colour for which the row costs least; None if none is left for a row.
    """
    cost = thread.costs.cost
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
        first = min(possible, key=lambda a: (cost(a), a.colour, a.place.key))
        found[first.colour] = [first]
        given.add(first.colour)
    return found


def _improve(
    found: dict[int, Assignment], choices: Sequence[Sequence[Assignment]], costs: Costs
) -> None:
    """Move colours into packs, and to single threads that became free, while that saves money."""
    cost = costs.cost
    by_row: dict[str, list[Assignment]] = defaultdict(list)
    for colour in choices:
        for assignment in colour:
            by_row[assignment.sku].append(assignment)
    while True:
        paid: dict[str, list[int]] = defaultdict(list)
        for one in found.values():
            paid[one.sku].append(cost(one))
        # What each colour saves if its row is no longer bought for it.
        saves = {
            number: cost(one) if len(paid[one.sku]) == 1 or not one.sku else 0
            for number, one in found.items()
        }
        taken = {one.place.key for one in found.values()}
        best, moved = 0, list[Assignment]()
        for sku in sorted(by_row):
            bought = max(paid.get(sku, [0]))
            free = [
                one
                for one in by_row[sku]
                if one.place.key not in taken and found[one.colour].sku != sku
            ]
            for units in sorted({one.units for one in free}):
                some = _served([one for one in free if one.units <= units], saves)
                dearer = max(0, max(map(cost, some), default=0) - bought)
                gain = sum(saves[one.colour] for one in some) - dearer
                if gain > best:
                    best, moved = gain, some
        if not best:
            return
        found |= {assignment.colour: assignment for assignment in moved}


def _served(assignments: list[Assignment], saves: dict[int, int]) -> list[Assignment]:
    """Return assignments to places of one row, a place to a colour, first those that save most."""
    found: dict[tuple[str, int], Assignment] = {}
    served: set[int] = set()
    for one in sorted(assignments, key=lambda a: (-saves[a.colour], a.colour, a.place.key)):
        if one.colour not in served and one.place.key not in found and saves[one.colour]:
            found[one.place.key] = one
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
        if assignment.place.key not in owner:
            owner[assignment.place.key] = assignment
            return True
    for assignment in colour:
        key = assignment.place.key
        if key in seen:
            continue
        seen.add(key)
        if _assigned(by_cost[owner[key].colour], by_cost, owner, seen):
            owner[key] = assignment
            return True
    return False
