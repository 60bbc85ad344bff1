"""A relaxation of all charts at once: each need takes its best row by itself.

It admits every kit and more, and so bounds the best. Of which rows go together only this is looked
at: whether the chart fits the fabric at all, and which needles suit the fabric's effective count.
Thread is relaxed further (`thread/bounds.py`). Points and costs are whole numbers; only skeins and
fits are estimated in floating point, with an allowance in the kit's favour.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from copy import copy
from dataclasses import dataclass
from fractions import Fraction
from functools import partial

import numpy as np
from numpy.typing import NDArray

from kitsolver.solve import rules
from kitsolver.solve.candidates.candidate import Candidate, Fabric
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.cloth_bounds import (
    costs_of_cuts,
    fits,
    undominated_fabrics,
)
from kitsolver.solve.decomposition.free.bounds import free_thread_bounds
from kitsolver.solve.decomposition.runs import NEVER, Ints, Runs
from kitsolver.solve.decomposition.thread.parts import ThreadParts

# Below any score, too, and some of them may be added up.
_NONE = -(2**50)


@dataclass(frozen=True)
class _Options:
    """The rows of which one is chosen: weighed points, and cost in minor units."""

    points: Ints
    cost: Ints

    def score(self, point: int, multiplier: int) -> Ints:
        """Return the score of each: what its points count, less the multiplier times its cost."""
        return point * self.points - multiplier * self.cost


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
        self.tied = tied = _tied(candidates)
        # By effective count the needs of which each row goes with some counts only.
        counts = {fabric.count: fabric for fabric in fabrics}
        at_counts = [
            _options(_suiting(rows, fabric, candidates), weights.get(need, 0), most_cost)
            for fabric in counts.values()
            for need, rows in tied.items()
        ]
        self.counts = len(counts)
        self.count = _array(list(counts).index(fabric.count) for fabric in fabrics)
        self.at_counts = _runs(at_counts)
        self.charts = _options(charts, weights.get("chart", 0), most_cost)
        fitting = fits(candidates, fabrics)
        self.fabrics = _options(fabrics, weights.get("fabric", 0), most_cost)
        self.cuts = costs_of_cuts(candidates, fabrics, most_cost)
        # What the thread of each chart scores at most, where it is matched to chart colours.
        self.thread: Callable[[int, int], Ints] | None = None
        if candidates.matches_thread:
            weight = weights.get("thread", 0)
            threads = threads or ThreadParts(candidates)
            free = threads.free
            bounds = free and free_thread_bounds(candidates, free, weight, most_cost)
            if bounds:
                self.thread = bounds.best
            else:
                matched = threads.bounds(candidates, weight, most_cost)
                self.thread = partial(matched.best, kept=_kept(candidates))
        self.colours = colours_of(candidates)
        # Charts of as many colours are scored together.
        self.alike = [
            (int(times), rows, fitting[rows])
            for times in np.unique(self.colours)
            for rows in [np.flatnonzero(self.colours == times)]
        ]
        # By point and multiplier, what charts score with their thread and fabric.
        self._dressed: dict[tuple[int, int], Ints] = {}
        self._take_plain(candidates)

    def _take_plain(self, candidates: Candidates) -> None:
        """Take the rows that go with any chart, and extras, from some candidates."""
        self.candidates, plain_needs = candidates, candidates.plain_needs
        plain = [
            _options(candidates.needs[need], self.weights.get(need, 0), self.most_cost)
            for need in plain_needs
            if need not in self.tied
        ]
        weight = share(candidates) if self.weights else 0
        owed, optional = _extras(candidates)
        plain += [_options(rows, weight, self.most_cost) for rows in owed]
        extras = [_options(rows, weight, self.most_cost) for rows in optional if weight]
        self.plain, self.extras = _runs(plain), _runs(extras)
        # How many scores, at the most, are added up for one chart.
        self.terms = len(plain_needs) + len(owed) + len(extras) + 2
        self.terms += int(self.colours.max(initial=1))

    def keeping_others(self, candidates: Candidates, most_cost: int) -> Relaxation | None:
        """Return the relaxation of candidates of which other rows are kept.

        What charts score with their thread and fabric is then known. None if the candidates differ
        in any of these, or in more than in what is kept.
        """
        mine, brief = self.candidates, candidates.brief
        choose = mine.brief.choose.model_copy(update={"keep": brief.choose.keep})
        tied = {*self.tied, "chart", "fabric", *(["thread"] if mine.matches_thread else [])}
        if not (
            self.most_cost == most_cost
            and brief == mine.brief.model_copy(update={"choose": choose})
            and (candidates.weights, candidates.parts) == (mine.weights, mine.parts)
            and candidates.tied_by == mine.tied_by
            and candidates.near is mine.near
            and candidates.matches_thread == mine.matches_thread
            and _tied(candidates).keys() == self.tied.keys()
            and _kept(candidates) == _kept(mine)
            and all(candidates.needs[need] == mine.needs[need] for need in tied)
        ):
            return None
        other = copy(self)
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
        whole = np.full(len(self.colours), NEVER)
        shades = self.thread(point, multiplier) if self.thread else np.zeros_like(whole)
        for times, rows, fitting in self.alike:
            if not fitting.shape[1]:
                continue
            cloth = self._best_cloth(times * point, multiplier, rows, fitting)
            possible = (cloth > NEVER) & (shades[rows] > NEVER)
            charts = self.charts.score(times * point, multiplier)[rows]
            whole[rows] = np.where(possible, charts + cloth + shades[rows], NEVER)
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
    return _array(number)


def _kept(candidates: Candidates) -> frozenset[str]:
    """Return the skus of matched thread that is kept."""
    kept = candidates.brief.choose.keep
    return frozenset(thread.sku for thread in candidates.threads if thread.sku in kept)


def share(candidates: Candidates) -> int:
    """Return what a point of an extra weighs, where it is weighed with the needs."""
    if not candidates.brief.extras.together:
        return 0
    return int(Fraction(candidates.brief.extras.weight) * candidates.parts)


def _options(rows: Sequence[Candidate], weight: int, most_cost: int) -> _Options:
    points, cost = (row.points for row in rows), (min(row.cost, most_cost) for row in rows)
    return _Options(weight * _array(points), _array(cost))


def _runs(choices: Sequence[_Options]) -> Runs:
    """Return the rows of several choices, one run for each choice."""
    run = np.repeat(np.arange(len(choices)), _array(len(options.cost) for options in choices))
    return Runs(
        run,
        np.concatenate([run[:0], *(options.points for options in choices)]),
        np.concatenate([run[:0], *(options.cost for options in choices)]),
        len(choices),
    )


def _extras(candidates: Candidates) -> tuple[list[list[Candidate]], list[list[Candidate]]]:
    """Return extras by category: those of which one row is taken, and those that may be left."""
    keep = candidates.brief.choose.keep
    by_category: dict[str, list[Candidate]] = defaultdict(list)
    for extra in candidates.extras:
        by_category[extra.category].append(extra)
    owed, optional = [], []
    for category, rows in by_category.items():
        kept = [row for row in rows if row.sku in keep]
        if kept or category in candidates.forced:
            owed.append(kept or rows)
        else:
            optional.append(rows)
    return owed, optional


def _tied(candidates: Candidates) -> dict[str, tuple[Candidate, ...]]:
    """Return the plain needs of which some rows go with some effective counts only."""
    by_need = {need: candidates.needs[need] for need in candidates.plain_needs}
    return {need: rows for need, rows in by_need.items() if any(map(_tied_to_count, rows))}


def _tied_to_count(row: Candidate) -> bool:
    return any(rule.concerns(row) for rule in rules.BY_COUNT)


def _suiting(
    rows: Sequence[Candidate], fabric: Fabric, candidates: Candidates
) -> Sequence[Candidate]:
    """Return the rows that go with a fabric's effective count."""
    chart, brief = candidates.charts[0], candidates.brief
    keys = {rule: rule.key(chart, fabric, brief) for rule in rules.BY_COUNT}
    return [
        row
        for row in rows
        if all(rule.accepts(row, key) for rule, key in keys.items() if rule.concerns(row))
    ]


def _array(values: Iterable[int]) -> Ints:
    return np.fromiter(values, dtype=np.int64)
