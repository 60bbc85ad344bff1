"""Whether a kit is left when some demands of a brief are given up, or changed."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from copy import deepcopy
from fractions import Fraction
from itertools import combinations
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.brief.reading import brief_of
from kitsolver.craft.lengths import INCH
from kitsolver.explain.no_kit.cheapest_kit import Least
from kitsolver.explain.no_kit.demands import Data, Demand
from kitsolver.shop.till import NO_CAP
from kitsolver.solve.candidates.candidate import Chart
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.presolve.find import find_candidates


class Asking:
    """What is asked of a catalogue, to be held to some demands only.

    Parameters
    ----------
    least : Least
        Of the catalogue.
    brief : Brief
        With all its demands.
    demands : sequence of Demand
        All of them.
    """

    def __init__(self, least: Least, brief: Brief, demands: tuple[Demand, ...]) -> None:
        self.least, self.brief, self.demands = least, brief, demands
        self.data: Data = brief.model_dump(mode="json")
        self.given_up: frozenset[Demand] = frozenset()

    def without(self, given_up: Collection[Demand]) -> Asking:
        """Return the same with some demands given up."""
        fewer = Asking(self.least, self.brief, self.demands)
        fewer.given_up = self.given_up | frozenset(given_up)
        fewer.data = deepcopy(self.data)
        for demand in given_up:
            demand.drop(fewer.data)
        return fewer

    def changed(self, change: Callable[[Data], None]) -> Asking:
        """Return the same of a brief that is changed."""
        other = self.without(())
        change(other.data)
        return other

    def works(self, kept: Collection[Demand]) -> bool:
        """Tell whether there is a kit when only some demands are kept."""
        return self.without([each for each in self.demands if each not in kept]).possible

    @property
    def variants(self) -> Iterator[Data]:
        """Every brief that what is asked may come to.

        What is at home may do or may be bought where it is given up that it does.
        """
        homes = [demand for demand in self.given_up if demand.kind == "have"]
        for number in range(len(homes) + 1):
            for bought in combinations(homes, number):
                data = deepcopy(self.data) if bought else self.data
                for demand in bought:
                    data["needs"][demand.need]["have"] = False
                yield data

    @property
    def paid(self) -> int | None:
        """The least that is paid for a kit, whatever the cap; None if there is none."""
        every = (self.least.paid(data, stocked=self.stocked) for data in self.variants)
        return min((paid for paid in every if paid is not None), default=None)

    @property
    def possible(self) -> bool:
        """Whether there is a kit."""
        enough = NO_CAP if "cap" in self._kinds else self.cap
        every = (
            self.least.paid(data, stocked=self.stocked, enough=enough) for data in self.variants
        )
        return any(paid is not None and paid <= enough for paid in every)

    @property
    def stocked(self) -> bool:
        """Whether goods are taken to be in stock."""
        return "stock" in self._kinds

    @property
    def candidates(self) -> Candidates:
        """What a kit may be chosen from where quality counts for nothing."""
        return find_candidates(
            self.least.catalogue, brief_of(self.least.bare(self.data)), thin=True
        )

    def widest_margin(self, margin: Demand) -> Fraction:
        """Return the margin beyond which no design is within any fabric, in length units."""
        candidates = self.without([margin]).candidates
        widest, charts = Fraction(0), smallest(candidates.charts)
        for fabric in candidates.fabrics:
            if fabric.roll is not None and fabric.count is not None:
                # As long as could be asked for: it is the width that bounds the margin.
                sides = [fabric.roll.width, max(fabric.roll.width, 100 * self.brief.fit.margin)]
            elif fabric.size is None or fabric.count is None:
                return self.brief.fit.margin
            else:
                sides = sorted(fabric.size)
            for chart in charts:
                stitches = sorted(chart.size or (0, 0))
                spare = [
                    have - n * INCH / fabric.count for have, n in zip(sides, stitches, strict=True)
                ]
                widest = max(widest, min(spare) / 2)
        return widest

    @property
    def cap(self) -> int:
        """The cap, in minor units."""
        return brief_of(self.data).total_cap

    @property
    def _kinds(self) -> set[str]:
        return {demand.kind for demand in self.given_up}

    def value(self, *path: str) -> Any:
        """Return what stands at a key of the brief."""
        found: Any = self.data
        for key in path:
            found = found[key]
        return found


def smallest(charts: Sequence[Chart]) -> list[Chart]:
    """Return the charts of which no other is smaller both ways: if any fits, one of these does."""
    found: list[Chart] = []
    longest: int | None = None
    for chart in sorted(charts, key=lambda chart: sorted(chart.size or (0, 0))):
        longer = max(chart.size or (0, 0))
        if longest is None or longer < longest:
            found.append(chart)
            longest = longer
    return found
