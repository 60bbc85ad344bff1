"""A relaxation of all charts at once: each need takes its best row by itself.

It admits every kit and more, and so bounds the best. Of which rows go together only this is looked
at: whether the chart fits the fabric at all, and which needles suit the fabric's effective count.
Thread is relaxed further (`thread/bounds.py`). Points and costs are whole numbers; only skeins and
fits are estimated in floating point, with an allowance in the kit's favour.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import partial

import numpy as np
from numpy.typing import NDArray

from kitsolver.craft.lengths import INCH
from kitsolver.solve import rules
from kitsolver.solve.candidates.candidate import Candidate, Fabric
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.free.bounds import free_thread_bounds
from kitsolver.solve.decomposition.runs import NEVER, Ints, Runs
from kitsolver.solve.decomposition.thread.choices import SLACK
from kitsolver.solve.decomposition.thread.parts import ThreadParts


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
        fabrics = _undominated_fabrics(candidates.fabrics)
        by_need = {need: candidates.needs[need] for need in candidates.plain_needs}
        tied = {need: rows for need, rows in by_need.items() if any(map(_tied_to_count, rows))}
        plain = [
            _options(rows, weights.get(need, 0), most_cost)
            for need, rows in by_need.items()
            if need not in tied
        ]
        # By effective count the needs of which each row goes with some counts only.
        counts = {fabric.count: fabric for fabric in fabrics}
        at_counts = [
            _options(_suiting(rows, fabric, candidates), weights.get(need, 0), most_cost)
            for fabric in counts.values()
            for need, rows in tied.items()
        ]
        self.counts = len(counts)
        self.count = _array(list(counts).index(fabric.count) for fabric in fabrics)
        weight = share(candidates) if weights else 0
        owed, optional = _extras(candidates)
        plain += [_options(rows, weight, most_cost) for rows in owed]
        extras = [_options(rows, weight, most_cost) for rows in optional if weight]
        self.plain, self.at_counts, self.extras = map(_runs, (plain, at_counts, extras))
        self.charts = _options(charts, weights.get("chart", 0), most_cost)
        fits = _fits(candidates, fabrics)
        self.fabrics = _options(fabrics, weights.get("fabric", 0), most_cost)
        self.cuts = _costs_of_cuts(candidates, fabrics, most_cost)
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
            (int(times), rows, fits[rows])
            for times in np.unique(self.colours)
            for rows in [np.flatnonzero(self.colours == times)]
        ]
        # How many scores, at the most, are added up for one chart.
        self.terms = len(by_need) + len(owed) + len(extras) + 2 + int(self.colours.max(initial=1))

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
        shades = self.thread(point, multiplier) if self.thread else np.zeros_like(whole)
        for times, rows, fits in self.alike:
            plain = self.plain.best(times * point, multiplier)
            if plain.min(initial=0) <= NEVER or not fits.shape[1]:
                continue
            extras = np.maximum(0, self.extras.best(times * point, multiplier))
            cloth = self._best_cloth(times * point, multiplier, rows, fits)
            possible = (cloth > NEVER) & (shades[rows] > NEVER)
            charts = self.charts.score(times * point, multiplier)[rows]
            score = charts + cloth + shades[rows] + plain.sum() + extras.sum()
            whole[rows] = np.where(possible, score, NEVER)
        return whole

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


def _fits(candidates: Candidates, fabrics: Sequence[Fabric]) -> NDArray[np.bool_]:
    """Tell which chart fits which fabric at all, in doubt that it does: (charts, fabrics)."""
    if any(chart.size is None for chart in candidates.charts):
        return np.ones((len(candidates.charts), len(fabrics)), dtype=bool)
    room = _room(fabrics)
    short, long = _cut_sides(candidates, fabrics)
    return np.asarray((short <= room[:, 0]) & (long <= room[:, 1]))


def _costs_of_cuts(
    candidates: Candidates, fabrics: Sequence[Fabric], most_cost: int
) -> Ints | None:
    """Return what pieces for all heads cost at least: (charts, fabrics), in minor units.

    None where a fabric always costs what one unit of it does.
    """
    kits = candidates.brief.kits
    if kits == 1 or any(chart.size is None for chart in candidates.charts):
        return None
    room = _room(fabrics)
    # A fabric of unknown sides, or off the roll, counts as one unit.
    known = np.isfinite(room[:, 0]) & np.isfinite(room[:, 1])
    room = np.where(known[:, None], room, 0)
    short, long = _cut_sides(candidates, fabrics)
    # No more pieces come from a fabric than there is area, or squares of their shorter sides.
    squares = np.floor(room[:, 0] / short) * np.floor(room[:, 1] / short)
    pieces = np.minimum(room.prod(axis=1) / (short * long), squares)
    units = np.where(known, np.ceil(kits / np.maximum(1, np.floor(pieces))), 1)
    rolls = _array(fabric.units if fabric.roll else 1 for fabric in fabrics)
    home = _array(fabric.home for fabric in fabrics)
    bought = np.maximum(0, (units * rolls).astype(np.int64) - home)
    costs: Ints = np.minimum(bought * _array(fabric.price for fabric in fabrics), most_cost)
    return costs


def _cut_sides(candidates: Candidates, fabrics: Sequence[Fabric]) -> NDArray[np.float64]:
    """Return the sides of the cuts, the shorter and the longer: (2, charts, fabrics)."""
    margin = 2 * float(candidates.brief.fit.margin)
    pitch = np.array([INCH / float(fabric.count or 1) for fabric in fabrics])
    stitches = np.array([sorted(chart.size or ()) for chart in candidates.charts]).reshape(-1, 2)
    sides: NDArray[np.float64] = stitches.T[:, :, None] * pitch + margin
    return sides


def _room(fabrics: Sequence[Fabric]) -> NDArray[np.float64]:
    """Return the sides of each fabric, with an allowance for estimates: (fabrics, 2)."""
    # What is not known of a fabric at home is not held against it.
    return np.array([_sides(fabric) for fabric in fabrics]).reshape(-1, 2) * (1 + SLACK) + 1


def _sides(fabric: Fabric) -> list[float]:
    """Return the sides of a fabric, the shorter first; endless where not known, or off the roll."""
    if fabric.count is None:
        return [np.inf] * 2
    if fabric.roll is not None:
        return [float(fabric.roll.width), np.inf]
    return sorted(map(float, fabric.size or (np.inf, np.inf)))


def _undominated_fabrics(fabrics: Sequence[Fabric]) -> list[Fabric]:
    """Leave out fabrics that count no more than one as large, at the same count, no dearer.

    However many units are taken: no more of the other may be at home.
    """
    kept: dict[Fraction | None, list[tuple[Fraction, Fraction, Fabric]]] = defaultdict(list)
    rolls: list[Fabric] = []
    for fabric in sorted(fabrics, key=lambda fabric: -fabric.points):
        if fabric.roll is not None:
            rolls.append(fabric)
            continue
        short, long = sorted(fabric.size or (Fraction(0), Fraction(0)))
        same = kept[fabric.count]
        if not any(
            row.price <= fabric.price and row.home >= fabric.home and one >= short and other >= long
            for one, other, row in same
        ):
            same.append((short, long, fabric))
    return [*rolls, *(fabric for same in kept.values() for *_, fabric in same)]
