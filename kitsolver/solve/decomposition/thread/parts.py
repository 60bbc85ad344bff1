"""The thread of each chart, by effective count and by the colour of the cloth."""

from __future__ import annotations

from collections.abc import Hashable
from fractions import Fraction
from functools import cached_property

from kitsolver.craft.colour import too_alike
from kitsolver.solve.candidates.candidate import Chart, Fabric
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.places import Asked
from kitsolver.solve.decomposition.free.alike import AlikeColours
from kitsolver.solve.decomposition.free.apart import most_apart
from kitsolver.solve.decomposition.free.colours import FreeColours
from kitsolver.solve.decomposition.free.packs import FreePacks
from kitsolver.solve.decomposition.free.thread import FreeThread
from kitsolver.solve.decomposition.objective import Objective
from kitsolver.solve.decomposition.thread.assignment import (
    ColourPlaces,
    assignments_of,
    colour_places,
    units_at,
)
from kitsolver.solve.decomposition.thread.bounds import ThreadBounds
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
        self._bounds: dict[Hashable, ThreadBounds] = {}
        # By chart and kept thread.
        self._places: dict[tuple[str, frozenset[str]], list[ColourPlaces]] = {}
        self._of_charts: dict[Hashable, ThreadSubproblem] = {}

    @classmethod
    def of(cls, candidates: Candidates, known: ThreadParts | None = None) -> ThreadParts:
        """Return what is known of other candidates if their thread is the same, else nothing yet.

        Which thread is kept makes no difference.
        """
        if known and not candidates.free and _alike(candidates, known.candidates):
            return known
        return cls(candidates)

    def bounds(self, candidates: Candidates, weight: int, most_cost: int) -> ThreadBounds:
        """Return the bounds of all charts' thread.

        Parameters
        ----------
        candidates : Candidates
            With these charts and this thread, and any fabric.
        weight, most_cost : int
            As `ThreadBounds` takes them.
        """
        key = weight, most_cost, frozenset(fabric.count for fabric in candidates.fabrics)
        if key not in self._bounds:
            self._bounds[key] = ThreadBounds(candidates, weight, most_cost)
        return self._bounds[key]

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
        return FreePacks(FreeColours(self.candidates, self._alike))

    @cached_property
    def _alike(self) -> AlikeColours:
        """Which colours of thread are too like each other."""
        threads = {id(one.threads): one.threads for one in self.candidates.near.near.values()}
        listed = (thread for rows in threads.values() for thread in rows)
        colours = (colour for thread in listed for colour in thread.colours)
        return AlikeColours((*self._colours, *colours), self.shades.least_contrast)

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
                most = most_apart(self._alike.among(left), most)
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
        keep = alone.brief.choose.keep
        kept = self._skus.intersection(keep) if keep else frozenset()
        # Of kept thread every place is looked at, even where another one serves better.
        if (chart.sku, kept) not in self._places:
            self._places[chart.sku, kept] = colour_places(chart, alone)
        colours = self._places[chart.sku, kept]
        units = units_at(count, colours, alone.brief)
        # Counts at which every colour takes as much are alike.
        key = chart.sku, units, barred, objective, kept
        if key not in self._of_charts:
            assignments = [
                [one for one in colour if one.place.colour not in barred]
                for colour in assignments_of(units, colours)
            ]
            self._of_charts[key] = ThreadSubproblem(alone, assignments, objective)
        return self._of_charts[key]

    @cached_property
    def _skus(self) -> frozenset[str]:
        return frozenset(thread.sku for thread in self.candidates.threads)


def _alike(one: Candidates, other: Candidates) -> bool:
    """Tell whether the same thread is matched to the same charts, whichever of it is kept."""
    if not (one.matches_thread and other.matches_thread):
        return False
    asked, before = one.brief, other.brief
    return (
        one.charts is other.charts
        and one.threads is other.threads
        and one.weights == other.weights
        and one.tied == other.tied
        and asked.shades == before.shades
        and asked.fit == before.fit
        and asked.kits == before.kits
        and asked.need("thread") == before.need("thread")
        and asked.exact_till == before.exact_till
    )


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
