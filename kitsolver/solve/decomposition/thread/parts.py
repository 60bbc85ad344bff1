"""The thread of each chart, by effective count and by the colour of the cloth."""

from __future__ import annotations

from fractions import Fraction
from functools import cached_property

from kitsolver.craft.colour import too_alike
from kitsolver.solve.candidates.candidate import Chart, Fabric
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.places import Asked
from kitsolver.solve.decomposition.free.apart import most_apart
from kitsolver.solve.decomposition.free.colours import FreeColours
from kitsolver.solve.decomposition.free.packs import FreePacks
from kitsolver.solve.decomposition.free.thread import FreeThread
from kitsolver.solve.decomposition.objective import Objective
from kitsolver.solve.decomposition.thread.assignment import assignments_at
from kitsolver.solve.decomposition.thread.frontier import ThreadSubproblem
from kitsolver.solve.time_limit import TimeLimit

# Of more colours of thread it is not asked how many differ from each other.
_MOST_COLOURS = 1_000


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
        self._apart: dict[frozenset[str], int] = {}

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

    def colourable(self, chart: Chart, barred: frozenset[str]) -> bool:
        """Tell whether thread may differ as it must from the cloth and from itself, in doubt so.

        Parameters
        ----------
        barred : frozenset of str
            The thread colours that are too like the cloth.
        """
        if self.candidates.free:
            return len(chart.shades or ()) <= self._most_apart(barred)
        if not barred:
            return True
        return not any(
            self._near[asked.colour, asked.kind] <= barred for asked in chart.shades or ()
        )

    def _most_apart(self, barred: frozenset[str]) -> int:
        """Return how many free colours can be taken beside a cloth, or more."""
        if barred not in self._apart:
            least = self.shades.least_contrast
            left = [colour for colour in self._colours if colour not in barred]
            most = max(len(chart.shades or ()) for chart in self.candidates.charts)
            if least and len(left) <= _MOST_COLOURS:
                most = most_apart(too_alike(left, left, least), most)
            self._apart[barred] = most
        return self._apart[barred]

    @cached_property
    def _near(self) -> dict[Asked, frozenset[str]]:
        """The colours of thread near each charted colour."""
        return {
            asked: frozenset(
                near.threads[row].colours[number]
                for row, number in zip(near.row.tolist(), near.index.tolist(), strict=True)
            )
            for asked, near in self.candidates.near.near.items()
        }

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


def colourable_charts(candidates: Candidates, threads: ThreadParts | None = None) -> list[Chart]:
    """Return the charts for which thread may differ as it must from itself and some cloth.

    Parameters
    ----------
    threads : ThreadParts, optional
        What is known of the thread of the same candidates.
    """
    threads = threads or ThreadParts(candidates)
    if not candidates.matches_thread:
        return list(candidates.charts)
    cloths = {threads.barred(fabric) for fabric in candidates.fabrics}
    return [
        chart
        for chart in candidates.charts
        if any(threads.colourable(chart, barred) for barred in cloths)
    ]
