"""The colours of all charts at once, each with the places that it chooses from by itself.

Colours may share a place, every skein is counted at the effective count that takes fewest, and the
price of a pack is shared equally among the colours of a chart that could use it. Points and costs
are whole numbers; only skeins are estimated in floating point, on the low side.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from kitsolver.craft.lengths import INCH
from kitsolver.craft.thread import NO_LINES, SKEIN_UNIT, Charted, strands
from kitsolver.solve.candidates.candidate import Thread
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.quantities import pools
from kitsolver.solve.decomposition.runs import NEVER, Ints, Runs

# An estimate in floating point is off by far less than this.
SLACK = 1e-9


class _Places(NamedTuple):
    """Places in runs, one run for each colour: the row's number, points, and which colour."""

    colour: Ints
    row: Ints
    points: Ints


class _AtHome:
    """What the home list has of thread rows, and how few units are bought beside it."""

    def __init__(self, rows: Sequence[Thread], pools: int) -> None:
        self.pools = pools
        self.units, self.stock = _array(row.home for row in rows), _array(r.stock for r in rows)
        self.length = _array(row.home_length for row in rows)
        self.skein = np.maximum(1, _array(row.skein_length for row in rows))
        self.listed = (self.units > 0) | (self.length > 0)

    def bought(
        self, row: Ints, units: Ints, run: Ints, single: NDArray[np.float64]
    ) -> tuple[Ints, NDArray[np.bool_]]:
        """Return the least units bought for each entry, and which entries can be had at all.

        It is counted as `kitsolver.craft.part_used.serve_pools` does, on the low side.

        Parameters
        ----------
        row, units, run : array of int
            Of each entry the row, the units that it takes, and the colour.
        single : array of float
            By colour the least thread that a pool takes.
        """
        skein, need = self.skein[row].astype(np.float64), single[run]
        home = self.length[row] * (1 + SLACK)
        skeins = np.maximum(1, np.ceil(need / skein))
        last = np.maximum(SLACK, need - (skeins - 1) * skein)
        parts = np.minimum(self.pools, np.floor(home / last))
        whole = np.floor(np.maximum(0, home - self.pools * last) / skein + SLACK)
        whole = np.where(parts == self.pools, whole, 0)
        whole = np.minimum(self.pools * (skeins - 1), whole)
        of_single = (self.pools * skeins - parts - whole).astype(np.int64)
        bought = np.where(self.length[row] > 0, of_single, np.maximum(0, units - self.units[row]))
        return bought, ~self.listed[row] | (bought <= self.stock[row])


class ThreadBounds:
    """The colours of every chart with their places.

    Parameters
    ----------
    weight : int
        What a hundredth of a point counts.
    most_cost : int
        What costs more is counted as this: no kit holds it, and the sums stay small.
    """

    def __init__(self, candidates: Candidates, weight: int, most_cost: int) -> None:
        shades = [chart.shades or () for chart in candidates.charts]
        wanted = {(asked.colour, asked.kind) for charted in shades for asked in charted}
        colours = {colour: number for number, colour in enumerate(sorted(wanted))}
        self.charts = len(shades)
        self.owner = np.repeat(np.arange(self.charts), _array(map(len, shades)))
        every = [asked for charted in shades for asked in charted]
        which = _array(colours[asked.colour, asked.kind] for asked in every)
        rows = candidates.threads
        lengths, length_of = np.unique(
            _array(row.skein_length for row in rows), return_inverse=True
        )
        pool_count, sharing = pools(candidates.brief)
        single = sharing * _single_strands(every, candidates) * (1 - SLACK)
        units = np.maximum(1, np.ceil(single[:, None] / np.maximum(1, lengths))).astype(np.int64)
        units *= pool_count
        home = _AtHome(rows, pool_count)
        price = _array(row.price for row in rows)
        most_price = int(price.max(initial=0)) + 1
        many = _array(len(row.colours) if row.sku else 1 for row in rows)
        places = _places(candidates, list(colours))
        pack = many[places.row] > 1

        def entries(some: NDArray[np.bool_], wanted: Ints, units: Ints, *, shared: bool) -> Runs:
            """Return the places of some colours, wanted in some units, as runs."""
            run, place = _runs(places.colour[some], wanted)
            row, points = places.row[some][place], places.points[some][place]
            share = price[row].astype(np.float64)
            if shared:
                share /= np.minimum(many[row], _users(run, row, self.owner[run], len(rows)))
            bought = units[run, length_of[row]]
            if home.listed[row].any():
                bought, possible = home.bought(row, bought, run, single)
                run, points = run[possible], points[possible]
                bought, share = bought[possible], share[possible]
            cost = np.floor(bought * share * (1 - SLACK))
            cost = np.minimum(cost, most_cost).astype(np.int64)
            return Runs(run, weight * points, cost, len(wanted))

        kinds, self.kind = _distinct(np.column_stack([which, units]))
        # How much of them is bought, the exact length of each colour decides.
        apart = pack | home.listed[places.row]
        singles = ~apart & _undominated(places, np.where(home.listed, most_price, price), length_of)
        self.singles = entries(singles, kinds[:, 0], kinds[:, 1:], shared=False)
        self.others = entries(apart, which, units, shared=True)
        self._best: dict[tuple[int, int], Ints] = {}

    def best(self, point: int, multiplier: int) -> Ints:
        """Return what the colours of each chart score at most; ``NEVER`` where one has no place."""
        key = point, multiplier
        if key not in self._best:
            each = self.singles.best(point, multiplier)[self.kind]
            each = np.maximum(each, self.others.best(point, multiplier))
            without = np.bincount(self.owner, each <= NEVER, self.charts) > 0
            sums = np.zeros(self.charts, dtype=np.int64)
            np.add.at(sums, self.owner, np.where(each > NEVER, each, 0))
            self._best[key] = np.where(without, NEVER, sums)
        return self._best[key]


def _array(values: Iterable[int]) -> Ints:
    return np.fromiter(values, dtype=np.int64)


def _places(candidates: Candidates, colours: Sequence[tuple[str, str]]) -> _Places:
    number = {row.sku: i for i, row in enumerate(candidates.threads)}
    near = [candidates.near.near[colour] for colour in colours]
    # Colours of one kind of thread have their places in the same rows, some of which may be barred.
    rows = {
        id(places.threads): _array(number.get(thread.sku, -1) for thread in places.threads)
        for places in {id(places.threads): places for places in near}.values()
    }
    return _Places(
        np.repeat(np.arange(len(near)), _array(len(places.row) for places in near)),
        _joined([rows[id(places.threads)][places.row] for places in near]),
        _joined([places.points for places in near]),
    )


def _joined(arrays: list[Ints]) -> Ints:
    return np.concatenate(arrays) if arrays else np.zeros(0, dtype=np.int64)


def _runs(colour: Ints, wanted: Ints) -> tuple[Ints, Ints]:
    """Return for each colour that is wanted the places of it: the run's and the place's number.

    Parameters
    ----------
    colour : array of int
        The colour of each place, rising.
    wanted : array of int
        Colours, in any order.
    """
    first = np.searchsorted(colour, wanted, side="left")
    many = np.searchsorted(colour, wanted, side="right") - first
    run = np.repeat(np.arange(len(wanted)), many)
    within = np.arange(len(run)) - np.repeat(np.cumsum(many) - many, many)
    return run, np.repeat(first, many) + within


def _users(run: Ints, row: Ints, chart: Ints, rows: int) -> Ints:
    """Return how many colours of its chart could use the row of each entry."""
    pairs, entry = np.unique(run * rows + row, return_inverse=True)
    owner = np.zeros(len(pairs), dtype=np.int64)
    owner[entry] = chart * rows + row
    _, group, users = np.unique(owner, return_inverse=True, return_counts=True)
    counted: Ints = users[group][entry]
    return counted


def _undominated(places: _Places, price: Ints, length_of: Ints) -> NDArray[np.bool_]:
    """Return which places count more than all cheaper ones of their colour that hold as much."""
    cost, length = price[places.row], length_of[places.row]
    order = np.lexsort((cost, -places.points, length, places.colour))
    group = places.colour[order] * (int(length.max(initial=0)) + 1) + length[order]
    first = np.append(True, group[1:] != group[:-1])[: len(group)]
    # The least cost so far in each group: a later group starts below all earlier ones.
    step = int(cost.max(initial=0)) + 1
    falling = cost[order] - np.cumsum(first) * step
    least = np.minimum.accumulate(falling)
    cheaper = np.append(True, falling[1:] < least[:-1])[: len(falling)]
    kept = np.zeros(len(order), dtype=bool)
    kept[order] = cheaper | first
    return kept


def _distinct(rows: Ints) -> tuple[Ints, Ints]:
    """Return the distinct rows, and for each row the number of its own."""
    code = np.zeros(len(rows), dtype=np.int64)
    for column in rows.T:
        _, narrow = np.unique(column, return_inverse=True)
        _, code = np.unique(code * (int(narrow.max(initial=0)) + 1) + narrow, return_inverse=True)
    _, first = np.unique(code, return_index=True)
    return rows[first], code


def _single_strands(every: Sequence[Charted], candidates: Candidates) -> NDArray[np.float64]:
    """Return the least thread that each colour takes on any fabric, in the skeins' unit."""
    fit = candidates.brief.fit
    counts = {fabric.count for fabric in candidates.fabrics}
    if not counts or None in counts:
        return np.zeros(len(every))

    def a_stitch(said: int | None) -> float:
        own = fit.strands or said
        return min(float((own or strands(c)) / c) for c in counts if c is not None)

    plies = {said: a_stitch(said) for said in {asked.strands for asked in every}}
    crosses = np.array([float(one.stitches) * plies[one.strands] for one in every])
    # Most colours have no lines, and fractions become floats slowly.
    lines = np.array(
        [0.0 if one.backstitch is NO_LINES else float(one.backstitch) for one in every]
    )
    length: NDArray[np.float64] = 2 * (1 + sqrt(2)) * INCH * crosses + 2 * lines
    return length / SKEIN_UNIT * (1 + float(fit.waste))
