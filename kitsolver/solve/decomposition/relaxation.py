"""A relaxation of all charts at once: each need takes its best row by itself.

It admits every kit and more, and so bounds the best. Of which rows go together only this is looked
at: whether the chart fits the fabric at all, and which needles suit the fabric's effective count.
Thread is relaxed further (`thread/bounds.py`). Points and costs are whole numbers; only skeins and
fits are estimated in floating point, with an allowance in the kit's favour.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from copy import copy
from fractions import Fraction
from functools import partial

import numpy as np
from numpy.typing import NDArray

from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.cloth_bounds import (
    costs_of_cuts,
    fits,
    undominated_fabrics,
)
from kitsolver.solve.decomposition.free.bounds import free_thread_bounds
from kitsolver.solve.decomposition.relaxed_choices import (
    extras_of,
    options_of,
    runs_of,
    suiting,
    tied_needs,
    whole_numbers,
)
from kitsolver.solve.decomposition.runs import NEVER, Ints
from kitsolver.solve.decomposition.thread.bounds import ThreadBounds
from kitsolver.solve.decomposition.thread.parts import ThreadParts

# Below any score, too, and some of them may be added up.
_NONE = -(2**50)


class Relaxation:
    """The rows of every need, for all charts.

    Parameters
    ----------
    weights : mapping of str to int
        What a hundredth of a point of each need counts.
    most_cost : int
        What costs more is counted as this: no kit holds it, and the sums stay small.
    threads : ThreadParts, optional
        What is known of the thread of all charts.
    """

    def __init__(
        self,
        candidates: Candidates,
        weights: Mapping[str, int],
        most_cost: int,
        threads: ThreadParts | None = None,
    ) -> None:
        charts = candidates.charts
        self.weights, self.most_cost = weights, most_cost
        self.cloths = fabrics = undominated_fabrics(candidates.fabrics)
        self.tied = tied = tied_needs(candidates)
        # By effective count the needs of which each row goes with some counts only.
        counts = {fabric.count: fabric for fabric in fabrics}
        at_counts = [
            options_of(suiting(rows, fabric, candidates), weights.get(need, 0), most_cost)
            for fabric in counts.values()
            for need, rows in tied.items()
        ]
        self.counts = len(counts)
        self.count = whole_numbers(list(counts).index(fabric.count) for fabric in fabrics)
        self.at_counts = runs_of(at_counts)
        self.charts = options_of(charts, weights.get("chart", 0), most_cost)
        fitting = fits(candidates, fabrics)
        self.fabrics = options_of(fabrics, weights.get("fabric", 0), most_cost)
        self.cuts = costs_of_cuts(candidates, fabrics, most_cost)
        # What the thread of each chart scores at most, where it is matched to chart colours.
        self.thread: Callable[[int, int], Ints] | None = None
        self._matched: ThreadBounds | None = None
        if candidates.matches_thread:
            weight = weights.get("thread", 0)
            threads = threads or ThreadParts(candidates)
            free = threads.free
            bounds = free and free_thread_bounds(candidates, free, weight, most_cost)
            if bounds:
                self.thread = bounds.best
            else:
                self._matched = threads.bounds(candidates, weight, most_cost)
                self.thread = partial(self._matched.best, kept=_kept(candidates))
        self._threads = threads
        self.colours = colours_of(candidates)
        # Charts of as many colours are scored together.
        self.alike = [
            (int(times), rows, fitting[rows])
            for times in np.unique(self.colours)
            for rows in [np.flatnonzero(self.colours == times)]
        ]
        # By point and multiplier, what charts score with their fabric, and with their thread, too.
        self._on_cloth: dict[tuple[int, int], Ints] = {}
        self._dressed: dict[tuple[int, int], Ints] = {}
        self._take_plain(candidates)

    def _take_plain(self, candidates: Candidates) -> None:
        """Take the rows that go with any chart, and extras, from some candidates."""
        self.candidates, plain_needs = candidates, candidates.plain_needs
        plain = [
            options_of(candidates.needs[need], self.weights.get(need, 0), self.most_cost)
            for need in plain_needs
            if need not in self.tied
        ]
        weight = share(candidates) if self.weights else 0
        owed, optional = extras_of(candidates)
        plain += [options_of(rows, weight, self.most_cost) for rows in owed]
        extras = [options_of(rows, weight, self.most_cost) for rows in optional if weight]
        self.plain, self.extras = runs_of(plain), runs_of(extras)
        # How many scores, at the most, are added up for one chart.
        self.terms = len(plain_needs) + len(owed) + len(extras) + 2
        self.terms += int(self.colours.max(initial=1))

    def keeping_others(
        self, candidates: Candidates, most_cost: int, threads: ThreadParts | None
    ) -> Relaxation | None:
        """Return the relaxation of candidates of which other rows are kept.

        What charts score with their fabric is then known, and with their thread, unless other
        thread is kept. None if the candidates differ in any of these, or in more than in what is
        kept.

        Parameters
        ----------
        threads : ThreadParts, optional
            What is known of the thread of all charts.
        """
        mine, brief = self.candidates, candidates.brief
        choose = mine.brief.choose.model_copy(update={"keep": brief.choose.keep})
        tied = {*self.tied, "chart", "fabric", *(["thread"] if mine.matches_thread else [])}
        if not (
            self.most_cost == most_cost
            and brief == mine.brief.model_copy(update={"choose": choose})
            and (candidates.weights, candidates.parts) == (mine.weights, mine.parts)
            and candidates.tied_by == mine.tied_by
            and (candidates.near is mine.near or (self._matched and threads is self._threads))
            and candidates.matches_thread == mine.matches_thread
            and tied_needs(candidates).keys() == self.tied.keys()
            and all(candidates.needs[need] == mine.needs[need] for need in tied)
        ):
            return None
        other = copy(self)
        if self._matched and (kept := _kept(candidates)) != _kept(mine):
            other.thread, other._dressed = partial(self._matched.best, kept=kept), {}
        other._take_plain(candidates)
        return other

    def most(self, point: int, multiplier: int) -> Ints:
        """Return what the needs of each chart score at most.

        Parameters
        ----------
        point : int
            What a weighed point counts, once for every colour of the chart.
        multiplier : int
            What a minor unit of cost takes away.

        Returns
        -------
        array of int64
            One a chart; ``NEVER`` where a need has nothing for it.
        """
        whole = np.full(len(self.colours), NEVER)
        if (point, multiplier) not in self._dressed:
            self._dressed[point, multiplier] = self._most_dressed(point, multiplier)
        dressed = self._dressed[point, multiplier]
        for times, rows, _ in self.alike:
            plain = self.plain.best(times * point, multiplier)
            if plain.min(initial=0) <= NEVER:
                continue
            extras = np.maximum(0, self.extras.best(times * point, multiplier))
            score = dressed[rows] + plain.sum() + extras.sum()
            whole[rows] = np.where(dressed[rows] > NEVER, score, NEVER)
        return whole

    def _most_dressed(self, point: int, multiplier: int) -> Ints:
        """Return what each chart scores at most with its thread and fabric."""
        if (point, multiplier) not in self._on_cloth:
            self._on_cloth[point, multiplier] = self._most_on_cloth(point, multiplier)
        cloth = self._on_cloth[point, multiplier]
        shades = self.thread(point, multiplier) if self.thread else np.zeros_like(cloth)
        return np.where((cloth > NEVER) & (shades > NEVER), cloth + shades, NEVER)

    def _most_on_cloth(self, point: int, multiplier: int) -> Ints:
        """Return what each chart scores at most with its fabric."""
        whole = np.full(len(self.colours), NEVER)
        for times, rows, fitting in self.alike:
            if not fitting.shape[1]:
                continue
            cloth = self._best_cloth(times * point, multiplier, rows, fitting)
            charts = self.charts.score(times * point, multiplier)[rows]
            whole[rows] = np.where(cloth > NEVER, charts + cloth, NEVER)
        return whole

    def least_beside_fabric(self) -> Ints:
        """Return what the goods of a kit but its fabric cost at least.

        Returns
        -------
        array of int64
            By chart and fabric (of `cloths`), in minor units; more than any kit costs where there
            is none. Whether the design fits is not looked at.
        """
        tied = self.at_counts.best(0, 1).reshape(self.counts, -1)
        plain, of_count = (np.maximum(_NONE, each) for each in (self.plain.best(0, 1), tied))
        of_chart = self.charts.score(0, 1) + plain.sum()
        if self.thread:
            of_chart += np.maximum(_NONE, self.thread(0, 1))
        return np.asarray(-of_chart[:, None] - of_count.sum(axis=1)[self.count])

    def _best_cloth(
        self, point: int, multiplier: int, charts: Ints, fits: NDArray[np.bool_]
    ) -> Ints:
        """Return for some charts the best score of a fabric that they fit; ``NEVER`` if none."""
        # What goes with each effective count.
        best = self.at_counts.best(point, multiplier).reshape(self.counts, -1)
        possible = (best > NEVER).all(axis=1)
        rest = np.where(possible, np.where(best > NEVER, best, 0).sum(axis=1), NEVER)[self.count]
        if self.cuts is not None:
            worth = point * self.fabrics.points + rest
            each = np.where(fits & (rest > NEVER), worth - multiplier * self.cuts[charts], NEVER)
            scores: Ints = each.max(axis=1)
            return scores
        cloth = np.where(rest > NEVER, self.fabrics.score(point, multiplier) + rest, NEVER)
        order = np.argsort(-cloth, kind="stable")
        first = fits[:, order].argmax(axis=1)
        return np.where(fits[np.arange(len(charts)), order[first]], cloth[order[first]], NEVER)


def colours_of(candidates: Candidates) -> Ints:
    """Return how many colours each chart has; 1 where thread is not matched to them."""
    number = (
        len(chart.shades or ()) if candidates.matches_thread else 1 for chart in candidates.charts
    )
    return whole_numbers(number)


def _kept(candidates: Candidates) -> frozenset[str]:
    """Return the skus of matched thread that is kept."""
    kept = candidates.brief.choose.keep
    return frozenset(thread.sku for thread in candidates.threads if thread.sku in kept)


def share(candidates: Candidates) -> int:
    """Return what a point of an extra weighs, where it is weighed with the needs."""
    if not candidates.brief.extras.together:
        return 0
    return int(Fraction(candidates.brief.extras.weight) * candidates.parts)
