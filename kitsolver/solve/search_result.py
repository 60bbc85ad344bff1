"""How a search ended."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.figures import Figures

# Called with the steps done and the number of steps.
Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class SearchResult:
    """How a search ended.

    Parameters
    ----------
    selection : Selection
        The best found.
    bound : Figures
        Upper bounds on the figures of any kit.
    proven : bool
        Whether `selection` is the best, the tie-break included.
    opened : int
        How many charts were opened, in a search chart by chart.
    """

    selection: Selection
    bound: Figures
    proven: bool
    opened: int = 0
