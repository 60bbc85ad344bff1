"""What a walk through colours remembers between two of them, and the step from one to the next."""

from __future__ import annotations

from typing import NamedTuple

from kitsolver.solve.decomposition.thread.assignment import Assignment


class State(NamedTuple):
    """What earlier colours have taken that later colours could use."""

    places: frozenset[tuple[str, int]] = frozenset()
    packs: tuple[tuple[str, int], ...] = ()


class Step(NamedTuple):
    """One assignment to a state: what it costs there, and the rows that nobody uses any more."""

    assignment: Assignment
    cost: int
    closed: tuple[tuple[str, int], ...]
