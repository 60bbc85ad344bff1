"""The places that the colours of all charts may be given, with what they count and cost.

Every skein is counted at the effective count that takes fewest, and the price of a pack is shared
equally among the colours of a chart that could use it. Points and costs are whole numbers; only
skeins are estimated in floating point, on the low side.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property
from math import sqrt
from operator import is_
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from kitsolver.craft.lengths import INCH
from kitsolver.craft.thread import NO_LINES, SKEIN_UNIT, Charted, strands
from kitsolver.solve.candidates.candidate import Thread
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.quantities import pools
from kitsolver.solve.decomposition.runs import Ints, Runs

# An estimate in floating point is off by far less than this.
SLACK = 1e-9
# More units are counted as these, so that costs stay within 64 bits.
_MOST_UNITS = 2**20


class Places(NamedTuple):
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


class ColourChoices:
    """What colours may choose from, as runs.

    Parameters
    ----------
    wanted : sequence of Charted
        The colours of all charts, chart by chart.
    owner : array of int
        The chart of each.
    """

    def __init__(
        self,
        candidates: Candidates,
        wanted: Sequence[Charted],
        owner: Ints,
        weight: int,
        most_cost: int,
    ) -> None:
        colours = {key: n for n, key in enumerate(sorted({(a.colour, a.kind) for a in wanted}))}
        self.which = _array(colours[asked.colour, asked.kind] for asked in wanted)
        self.owner, self.weight, self.most_cost = owner, weight, most_cost
        rows = self.threads = candidates.threads
        lengths, self.length_of = np.unique(
            _array(row.skein_length for row in rows), return_inverse=True
        )
        pool_count, sharing = pools(candidates.brief)
        self.single = sharing * _single_strands(wanted, candidates) * (1 - SLACK)
        units = np.maximum(1, np.ceil(self.single[:, None] / np.maximum(1, lengths)))
        # By colour and skein length.
        self.units = units.astype(np.int64) * pool_count
        self.home = _AtHome(rows, pool_count)
        self.price = _array(row.price for row in rows)
        self.many = _array(len(row.colours) if row.sku else 1 for row in rows)
        self.places = _places(candidates, list(colours))

    @cached_property
    def number(self) -> dict[str, int]:
        """By sku the number of each row of thread."""
        return {row.sku: number for number, row in enumerate(self.threads)}

    def runs(self, some: NDArray[np.bool_], wanted: Ints, units: Ints, *, shared: bool) -> Runs:
        """Return some of the places as runs, one for each colour that is wanted in some units.

        Parameters
        ----------
        shared : bool
            Whether the price of a row is shared among the colours that could use it; then all
            colours of all charts are wanted.
        """
        run, place = _runs(self.places.colour[some], wanted)
        row, points = self.places.row[some][place], self.places.points[some][place]
        bought = units[run, self.length_of[row]]
        if self.home.listed[row].any():
            bought, possible = self.home.bought(row, bought, run, self.single)
            run, row, points = run[possible], row[possible], points[possible]
            bought = bought[possible]
        cost = np.minimum(bought, _MOST_UNITS) * np.minimum(self.price, self.most_cost)[row]
        if shared:
            users = np.minimum(self.many[row], _users(run, row, self.owner[run], len(self.price)))
            cost //= users
        cost = np.minimum(cost, self.most_cost)
        return Runs(run, self.weight * points, cost, len(wanted))


def _array(values: Iterable[int]) -> Ints:
    return np.fromiter(values, dtype=np.int64)


def _places(candidates: Candidates, colours: Sequence[tuple[str, str]]) -> Places:
    near = [candidates.near.near[colour] for colour in colours]
    # Colours of one kind of thread have their places in the same rows, some of which may be barred.
    several = {id(places.threads): places.threads for places in near}
    rows = {one: _numbers(threads, candidates.threads) for one, threads in several.items()}
    return Places(
        np.repeat(np.arange(len(near)), _array(len(places.row) for places in near)),
        _joined([rows[id(places.threads)][places.row] for places in near]),
        _joined([places.points for places in near]),
    )


def _numbers(some: Sequence[Thread], threads: Sequence[Thread]) -> Ints:
    """Return the numbers of some rows among all rows of thread; -1 for those that are not there."""
    if len(some) == len(threads) and all(map(is_, some, threads)):
        return np.arange(len(threads))
    number = {row.sku: i for i, row in enumerate(threads)}
    return _array(number.get(thread.sku, -1) for thread in some)


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
