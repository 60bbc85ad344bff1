"""The thread of each chart, by effective count and by the colour of the cloth."""

from __future__ import annotations

from fractions import Fraction
from functools import cached_property

from kitsolver.craft.colour import too_alike
from kitsolver.solve.candidates.candidate import Fabric
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.free.colours import FreeColours
from kitsolver.solve.decomposition.free.packs import FreePacks
from kitsolver.solve.decomposition.free.thread import FreeThread
from kitsolver.solve.decomposition.objective import Objective
from kitsolver.solve.decomposition.thread.assignment import assignments_at
from kitsolver.solve.decomposition.thread.frontier import ThreadSubproblem
from kitsolver.solve.time_limit import TimeLimit


class ThreadParts:
    """What the thread of all charts has in common.

    Parameters
    ----------
    candidates : Candidates
        With any number of charts.
    """

    def __init__(self, candidates: Candidates) -> None:
        self.candidates, self.shades = candidates, candidates.brief.shades
        self._barred: dict[str, frozenset[str]] = {"": frozenset()}

    @cached_property
    def _colours(self) -> list[str]:
        """The colours of all thread, where it is matched to chart colours."""
        candidates = self.candidates
        threads = candidates.threads if candidates.matches_thread else ()
        return sorted({colour for thread in threads for colour in thread.colours})

    @cached_property
    def free(self) -> FreePacks | None:
        """What free colours choose from, where they keep their order from dark to light."""
        if not self.candidates.free or not self.shades.keep_values:
            return None
        return FreePacks(FreeColours(self.candidates))

    def barred(self, fabric: Fabric) -> frozenset[str]:
        """Return the thread colours that are too like a fabric's own colour."""
        least = self.shades.cloth_contrast
        if not least:
            return frozenset()
        if fabric.colour not in self._barred:
            (alike,) = too_alike([fabric.colour], self._colours, least) if self._colours else [[]]
            lost = (colour for colour, near in zip(self._colours, alike, strict=True) if near)
            self._barred[fabric.colour] = frozenset(lost)
        return self._barred[fabric.colour]

    def thread(
        self,
        alone: Candidates,
        count: Fraction | None,
        barred: frozenset[str],
        objective: Objective,
        time_limit: TimeLimit,
    ) -> ThreadSubproblem | FreeThread | None:
        """Return the thread of a chart, where it is matched to chart colours.

        Parameters
        ----------
        alone : Candidates
            With that chart only.
        count : Fraction or None
            The effective count.
        barred : frozenset of str
            The thread colours that are too like the cloth.

        Raises
        ------
        StateLimitReached
            If only a model can tell.
        """
        if not alone.matches_thread:
            return None
        (chart,) = alone.charts
        if self.free is not None:
            return FreeThread(self.free, chart, count, barred, objective, time_limit)
        assignments = [
            [one for one in colour if one.place.colour not in barred]
            for colour in assignments_at(count, chart, alone)
        ]
        return ThreadSubproblem(alone, assignments, objective)
