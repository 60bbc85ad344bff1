"""A kit of one chart that is quickly found, for questions that any kit answers."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain
from typing import NamedTuple

from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.decomposition.at_count import AtCount
from kitsolver.solve.decomposition.chart_frontier import selection_of
from kitsolver.solve.decomposition.contents import Contents
from kitsolver.solve.decomposition.free.thread import FreeThread
from kitsolver.solve.decomposition.subproblem import Subproblem
from kitsolver.solve.decomposition.thread.greedy import GreedyThread, greedy_thread


class GreedyKit(NamedTuple):
    """A kit that is quickly found: its goods total in minor units, and what it holds."""

    goods: int
    contents: Contents

    @property
    def selection(self) -> Selection:
        """What it holds as a selection."""
        return selection_of(self.contents)


def greedy_kits(subproblem: Subproblem) -> Iterator[GreedyKit]:
    """Yield a kit of each effective count, with the cheapest of all but thread."""
    for at, thread in greedy_threads(subproblem):
        cheapest = [(part, int(part.cost[0]), int(part.worth[0])) for part in at.parts]
        goods = [part.trace_back(cost, worth).goods for part, cost, worth in cheapest]
        taken = Contents((), (), (*chain(*goods), *thread.places))
        yield GreedyKit(thread.cost + sum(cost for _, cost, _ in cheapest), taken)


def greedy_threads(subproblem: Subproblem) -> Iterator[tuple[AtCount, GreedyThread]]:
    """Yield each effective count at which greedily assigned thread is found, with that thread."""
    # Counts at which colours take as much share their thread.
    known: dict[int, GreedyThread | None] = {}
    for at in subproblem.counts:
        if isinstance(at.thread, FreeThread):
            continue
        if id(at.thread) not in known:
            known[id(at.thread)] = greedy_thread(at.thread) if at.thread else GreedyThread(0, ())
        thread = known[id(at.thread)]
        if thread is not None:
            yield at, thread
