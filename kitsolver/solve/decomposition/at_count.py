"""The parts of a chart's choices at one effective count, and what they score at most."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

import numpy as np

from kitsolver.solve.decomposition.free.thread import FreeThread
from kitsolver.solve.decomposition.frontier import Frontier, sum_of_all
from kitsolver.solve.decomposition.frontier_settings import Bounds, FrontierSettings
from kitsolver.solve.decomposition.objective import SCORE_UNIT
from kitsolver.solve.decomposition.thread.frontier import ThreadSubproblem, Walks


class BestScores:
    """What some parts score at most, added up, at any multiplier.

    Parameters
    ----------
    parts : sequence of Frontier
        Each has a breakpoint.
    base : int
        What a worth is divided by to get its first figure.
    """

    def __init__(self, parts: Sequence[Frontier], base: int) -> None:
        lengths = np.array([len(part) for part in parts])
        # All parts stand in one array, for most of them are short.
        self._starts = np.cumsum(lengths) - lengths
        self._first = SCORE_UNIT * (np.concatenate([part.worth for part in parts]) // base)
        self._cost = np.concatenate([part.cost for part in parts])
        self._known: dict[int, int] = {}

    def at(self, multiplier: int) -> int:
        """Return the sum of the highest score of each part."""
        if multiplier not in self._known:
            scores = self._first - multiplier * self._cost
            self._known[multiplier] = int(np.maximum.reduceat(scores, self._starts).sum())
        return self._known[multiplier]


@dataclass
class AtCount:
    """The parts at one effective count, on cloth that bars the same thread.

    Parameters
    ----------
    count : Fraction or None
        The effective count; None where it is unknown.
    loose : list of Frontier
        The parts that are the same at every count.
    of_loose : BestScores
        What these score.
    cloth : Frontier
        The fabric, with all that depends on it but thread.
    of_cloth : BestScores
        What this scores.
    thread : ThreadSubproblem, FreeThread or None
        The thread, where it is matched to chart colours.
    multiplier : int
        The one that bounded closest where packs were settled; 0 as long as none were.
    """

    count: Fraction | None
    loose: list[Frontier]
    of_loose: BestScores
    cloth: Frontier
    of_cloth: BestScores
    thread: ThreadSubproblem | FreeThread | None
    multiplier: int = 0
    _scores: dict[int, int] = field(default_factory=dict)
    _closer: dict[int, int] = field(default_factory=dict)

    @property
    def parts(self) -> list[Frontier]:
        """All parts but matched thread."""
        return [*self.loose, self.cloth]

    @property
    def slow(self) -> bool:
        """Whether it takes long to compute what no kit exceeds at one more multiplier."""
        return isinstance(self.thread, FreeThread) and self.thread.floor_search is not None

    def frontier(
        self, bounds: Bounds, settings: FrontierSettings, walks: Walks = Walks.SHORT
    ) -> Frontier:
        """Return what the choices come to at this count, of which what is within bounds is wanted.

        Parameters
        ----------
        walks : Walks
            How thread is assigned where it is matched to chart colours.

        Raises
        ------
        StateLimitReached, OutOfTime
            As `kitsolver.solve.decomposition.frontier.sum_of` does.
        """
        parts = self.parts
        if self.thread:
            least = sum(int(part.cost[0]) for part in parts)
            others = 0 if bounds.floor is None else self.others(bounds.multiplier)
            mine = bounds.beside(least, others)
            if isinstance(self.thread, ThreadSubproblem):
                parts.append(self.thread.frontier(mine, settings, walks))
            else:
                parts.append(self.thread.frontier(mine, settings))
        return sum_of_all(parts, bounds, settings)

    def others(self, multiplier: int) -> int:
        """Return what the parts but the thread score at most."""
        return self.of_loose.at(multiplier) + self.of_cloth.at(multiplier)

    def best_score(self, multiplier: int) -> int:
        """Return what no kit at this count exceeds."""
        if multiplier not in self._scores:
            thread = self.thread.best_score(multiplier) if self.thread else 0
            self._scores[multiplier] = thread + self.others(multiplier)
        return self._scores[multiplier]

    def closer_score(self, multiplier: int) -> int:
        """Return what `best_score` does, closer, by more work."""
        if self.thread is None:
            return self.best_score(multiplier)
        if multiplier not in self._closer:
            closer = self.thread.closer_score(multiplier)
            self._closer[multiplier] = closer + self.others(multiplier)
        return self._closer[multiplier]
