"""A quick assignment of thread: every colour gets a place of its own, for little money.

The kit that it makes need not be the cheapest. Often it is within a limit all the same, and then no
frontier is needed to tell that there is such a kit.
"""

from __future__ import annotations

from collections import defaultdict

from kitsolver.solve.decomposition.thread.assignment import Assignment
from kitsolver.solve.decomposition.thread.frontier import ThreadSubproblem


def greedy_cost(thread: ThreadSubproblem) -> int | None:
    """Return what some assignment of all colours costs, in minor units; None if none was found.

    None, too, where rows of thread are kept, for each of them would need a place.
    """
    if thread.kept:
        return None
    cost = thread.costs.cost
    by_cost = [
        sorted(colour, key=lambda a: (cost(a), a.place.key)) for colour in thread.assignments
    ]
    owner: dict[tuple[str, int], Assignment] = {}
    for colour in sorted(by_cost, key=len):
        if not _assigned(colour, by_cost, owner, set()):
            return None
    # A row that serves several colours is bought for the one that needs most.
    rows: dict[str, list[int]] = defaultdict(list)
    for assignment in owner.values():
        rows[assignment.sku].append(cost(assignment))
    return sum(max(costs) if sku else sum(costs) for sku, costs in rows.items())


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
