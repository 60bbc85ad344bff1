"""The parts of a chart's choices at one effective count, and what they score at most."""

from __future__ import annotations

from dataclasses import dataclass, field

from kitsolver.solve.decomposition.frontier import Frontier
from kitsolver.solve.decomposition.thread_frontier import ThreadSubproblem


@dataclass
class AtCount:
    """The parts at one effective count.

    Parameters
    ----------
    parts : list of Frontier
        All parts but matched thread.
    thread : ThreadSubproblem or None
        The thread, where it is matched to chart colours.
    base : int
        What a worth is divided by to get its first figure.
    """

    parts: list[Frontier]
    thread: ThreadSubproblem | None
    base: int
    _scores: dict[int, int] = field(default_factory=dict)
    _closer: dict[int, int] = field(default_factory=dict)

    def others(self, multiplier: int) -> int:
        """Return what the parts but the thread score at most."""
        return sum(part.best_score(multiplier, self.base) for part in self.parts)

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
