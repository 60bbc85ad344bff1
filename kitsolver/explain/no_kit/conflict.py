"""Demands that cannot be met together, and what to give up so that the rest can.

Demands are any hashable things, given with the dearest first; `works` tells whether those that are
kept can be met together. It must never turn true to false as demands are given up.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from typing import TypeVar

Demand = TypeVar("Demand")
Works = Callable[[Collection[Demand]], bool]

# Of so many demands one is given up after the other; of more, halves.
_FEW = 8


def remembering(works: Works[Demand]) -> Works[Demand]:
    """Return `works` with a memory: what follows from earlier answers is not asked again.

    Fewer demands than some that work do work, and more than some that do not work do not.
    """
    working: list[frozenset[Demand]] = []
    failing: list[frozenset[Demand]] = []

    def known(demands: Collection[Demand]) -> bool:
        kept = frozenset(demands)
        if any(kept <= more for more in working):
            return True
        if any(fewer <= kept for fewer in failing):
            return False
        answer = works(demands)
        (working if answer else failing).append(kept)
        return answer

    return known


def minimal_conflict(
    demands: Sequence[Demand],
    works: Works[Demand],
    *,
    failing: bool = False,
    dearest_first: bool = True,
) -> list[Demand] | None:
    """Return demands that cannot be met together, none of which could be spared.

    Of several such conflicts it is that of the dearest demands. None if all can be met; empty if
    nothing works even without demands.

    Parameters
    ----------
    failing : bool
        Whether it is known that not all can be met.
    dearest_first : bool
        Whether it is asked first if the dearest is in the way alone, which spares the other
        questions. It costs more than they do where it is mostly not so and they are told quickly.

    Notes
    -----
    QuickXplain: Junker (2004), AAAI-04.
    """
    if not failing and works(demands):
        return None
    # The dearest demand is the likeliest to be in the way, and without it little else is relaxed.
    rest = len(demands) > 1 and works(demands[1:])
    if rest and dearest_first and not works(demands[:1]):
        return list(demands[:1])
    if len(demands) <= _FEW:
        return _left_of_few(demands, works)
    if not works(()):
        return []
    return _in_conflict([], fresh=False, among=list(demands), works=works)


def _left_of_few(demands: Sequence[Demand], works: Works[Demand]) -> list[Demand]:
    """Return the conflict of the dearest of a few demands: those that none could be spared of.

    The least dear are given up first, each unless the rest then works.
    """
    left = list(demands)
    for demand in reversed(demands):
        rest = [other for other in left if other != demand]
        if not works(rest):
            left = rest
    return left


def _in_conflict(
    kept: list[Demand], *, fresh: bool, among: list[Demand], works: Works[Demand]
) -> list[Demand]:
    """Return what of `among` is in conflict with `kept`, to which something `fresh` was added."""
    if fresh and not works(kept):
        return []
    if len(among) == 1:
        return among
    dear, cheap = among[: len(among) // 2], among[len(among) // 2 :]
    second = _in_conflict(kept + dear, fresh=True, among=cheap, works=works)
    first = _in_conflict(kept + second, fresh=bool(second), among=dear, works=works)
    return first + second


def minimal_correction_sets(
    demands: Sequence[Demand],
    works: Works[Demand],
    most: int | None = None,
    known: Iterable[Demand] = (),
) -> Iterator[tuple[Demand, ...]]:
    """Yield sets of demands without which the rest works, none of which could be kept.

    The smallest come first, and among these the least dear.

    Parameters
    ----------
    most : int, optional
        How many may be given up.
    known : iterable
        Demands that are known to be in the way each by itself.

    Notes
    -----
    A correction set has a member of every conflict. A set that leaves a conflict standing is
    therefore extended by each of its members: Reiter (1987), Artificial Intelligence 32(1)
    (recalled from memory).
    """
    rank = {demand: place for place, demand in enumerate(reversed(demands))}
    sets: list[frozenset[Demand]] = [frozenset()]
    found: list[frozenset[Demand]] = []
    conflicts: list[frozenset[Demand]] = [frozenset([demand]) for demand in known]
    for _ in range(len(demands) + 1 if most is None else most + 1):
        grown: set[frozenset[Demand]] = set()
        for given_up in sorted(sets, key=lambda one: sorted(rank[d] for d in one)):
            if any(smaller <= given_up for smaller in found):
                continue
            conflict = next((one for one in conflicts if not one & given_up), None)
            if conflict is None:
                rest = [demand for demand in demands if demand not in given_up]
                members = minimal_conflict(rest, works)
                if members is None:
                    found.append(given_up)
                    yield tuple(demand for demand in demands if demand in given_up)
                    continue
                conflict = frozenset(members)
                conflicts.append(conflict)
            grown |= {given_up | {member} for member in conflict}
        sets = list(grown)
