"""What fabric and thread charts take at least, told before candidates are made."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from fractions import Fraction
from functools import cached_property
from math import floor

import numpy as np
from numpy.typing import NDArray

from kitsolver.brief.brief import Brief
from kitsolver.craft.colour import DIFFERENCE_UNIT
from kitsolver.craft.fit import effective_count
from kitsolver.craft.lengths import INCH
from kitsolver.craft.needles import suiting
from kitsolver.shop.catalogue import UNLIMITED
from kitsolver.shop.palette import Palette, RowColours
from kitsolver.solve.presolve.admitted_rows import NEVER, AdmittedRows
from kitsolver.solve.rules.rule import Mask

Costs = NDArray[np.int64]
_Floats = NDArray[np.float64]

# No two colours differ by so much.
ANY_DIFFERENCE = 1000

# An estimate in floating point is off by far less than this.
_SLACK = 1e-9

# Longer than any fabric, in length units.
_ENDLESS = 1e30

# Of more charts no thread is left out for what it costs one of them.
_FEW_CHARTS = 8

# Of more pairs than this, charts are only held against the largest sides of all fabrics.
_MOST_PAIRS = 1 << 20


def least_fabric_costs(
    charts: AdmittedRows,
    fabrics: AdmittedRows,
    needles: AdmittedRows | None,
    brief: Brief,
    wanted: Mask,
) -> Costs:
    """Return what the fabric of every chart costs at least, in minor units.

    With it goes what a needle that suits costs beyond the cheapest one. `NEVER` where none is large
    enough, or no needle suits, and of charts that are not wanted.
    """
    cloth = _Cloth(fabrics, brief)
    stitches = [charts.table[side][wanted] for side in ("stitches_wide", "stitches_high")]
    design = np.sort(np.column_stack(stitches).astype(np.float64), axis=1)
    few = len(design) * len(fabrics) <= _MOST_PAIRS
    costs, found = np.full(len(design), NEVER), np.full(len(wanted), NEVER)
    for number, count in enumerate(cloth.counts):
        beyond = _beyond_cheapest(count, needles, brief)
        if beyond == NEVER:
            continue
        cut = design * (INCH / float(count)) + 2 * float(brief.fit.margin)
        same = cloth.number == number
        each = cloth.cheapest(cut, same) if few else cloth.coarse(cut, same)
        np.minimum(costs, each + beyond, out=costs)
    found[wanted] = costs
    return found


def _beyond_cheapest(count: Fraction, needles: AdmittedRows | None, brief: Brief) -> int:
    """Return what a needle that suits a count costs beyond the cheapest; `NEVER` if none does."""
    if needles is None:
        return 0
    suit = suiting(count, brief.fit.needle_table)
    costs = needles.table["price"] * needles.table["units"]
    sizes = needles.table["needle_sizes"].tolist()
    suits = [not suit.isdisjoint(map(int, said.split(";"))) for said in sizes]
    return int(costs[suits].min() - costs.min()) if any(suits) else NEVER


class _Cloth:
    """Fabrics as arrays: numbers of effective counts, sides, areas, and what units cost."""

    def __init__(self, fabrics: AdmittedRows, brief: Brief) -> None:
        table, self._kits = fabrics.table, brief.kits
        kinds = list(zip(table["weave"].tolist(), table["count"].tolist(), strict=True))
        count_of = {
            kind: effective_count(kind[0], Fraction(kind[1], 10_000), brief.fit.over)
            for kind in set(kinds)
        }
        self.counts = sorted(set(count_of.values()))
        self.number = np.array([self.counts.index(count_of[kind]) for kind in kinds])
        self._units, self._price = table["units"], table["price"]
        self._there = table["stock"] + table["at_home"]
        sides = np.column_stack([table["width"], table["height"]]).astype(np.float64)
        rolls = table["sold_by"] == 1
        self._area = sides[:, 0] * np.where(rolls, table["step_cm"], sides[:, 1])
        # A roll is as long as it need be.
        sides[rolls, 1] = _ENDLESS
        self._sides = np.sort(sides, axis=1) * (1 + _SLACK) + 1

    def cheapest(self, cut: _Floats, same: Mask) -> Costs:
        """Return the least cost of some fabrics for each cut, of no more units than are taken.

        A unit yields no more cuts than its area is worth, nor than squares of their short side.
        `NEVER` where there are not so many units in stock.

        Parameters
        ----------
        cut : array of float
            A row for each chart: the short and the long side, in length units.
        same : array of bool
            The fabrics.
        """
        short, long = self._sides[same].T
        fits = (cut[:, :1] <= short) & (cut[:, 1:] <= long)
        yielded = self._area[same] / cut.prod(axis=1)[:, None]
        squares = np.floor(short / cut[:, :1]) * np.floor(long / cut[:, :1])
        yielded = np.minimum(yielded, np.maximum(squares, 1))
        whole = np.ceil(self._kits / yielded * (1 - _SLACK)).astype(np.int64)
        units = np.maximum(self._units[same], whole)
        fits &= units <= self._there[same]
        return np.asarray(np.where(fits, units * self._price[same], NEVER).min(axis=1))

    def coarse(self, cut: _Floats, same: Mask) -> Costs:
        """Return the same of their least units, in doubt that the cuts fit on any of them."""
        # The largest sides of all may be those of different fabrics.
        short, long = self._sides[same].max(axis=0)
        fits = (cut[:, 0] <= short) & (cut[:, 1] <= long)
        return np.where(fits, (self._units[same] * self._price[same]).min(), NEVER)


def cheapest_of_any(threads: AdmittedRows, wanted: Mask, colours: int, brief: Brief) -> Mask:
    """Return which of some threads are enough where thread of any colour will do.

    A single thread is left out if as many others as a chart has colours cost less, are of its kind,
    hold as much, and are always in stock. All are enough where more than money counts.

    Parameters
    ----------
    colours : int
        The most that a chart has.
    """
    tied = brief.limits or brief.pairs or brief.alike or brief.most_trade_cost is not None
    if tied or brief.shades.free or brief.need("thread").weight:
        return wanted
    table, found = threads.table, wanted.copy()
    single = wanted & (threads.colour_counts == 1)
    always = single & (table["stock"] >= UNLIMITED)
    lengths, kinds, price = table["skein_length"], table["kind"], table["price"]
    for kind, length in {*zip(kinds[always].tolist(), lengths[always].tolist(), strict=True)}:
        alike = kinds == kind
        prices = price[always & alike & (lengths == length)]
        if len(prices) >= colours > 0:
            enough = np.partition(prices, colours - 1)[colours - 1]
            found &= ~(single & alike & (lengths <= length) & (price > enough))
    return found


class Matching:
    """Which charts and threads go together by their colours.

    Parameters
    ----------
    charts, threads : AdmittedRows
        The rows of the two needs.
    shelf : RowColours
        Of all rows of thread in the shop.
    """

    def __init__(
        self, charts: AdmittedRows, threads: AdmittedRows, shelf: RowColours, brief: Brief
    ) -> None:
        self._charts, self._threads, self._shelf = charts, threads, shelf
        self._palette = shelf.palette
        self._tolerance = floor(brief.shades.tolerance * DIFFERENCE_UNIT)
        have = brief.need("thread").have
        self._at_home = Palette(have if isinstance(have, tuple) else ())
        # By charted colour what a thread's share for it costs at least; `NEVER` if there is none.
        self._least: dict[str, int] = {}

    def least_costs(self, wanted: Mask, served: int) -> Costs:
        """Return what thread for every chart costs at least; a pack's colours share its cost.

        `NEVER` where none is within the tolerance of a colour, and of charts that are not wanted.

        Parameters
        ----------
        served : int
            So many colours of a chart have thread that costs nothing here.
        """
        drawn = self._drawn(np.flatnonzero(wanted).tolist())
        self._find_least(sorted({colour for chart in drawn for colour in chart}))
        costs = ([self._least[colour] for colour in chart] for chart in drawn)
        found = np.full(len(wanted), NEVER)
        found[wanted] = [
            NEVER if NEVER in chart else sum(sorted(chart)[: max(0, len(chart) - served)])
            for chart in costs
        ]
        return found

    def _find_least(self, colours: Iterable[str]) -> None:
        """Find what thread for some charted colours costs at least."""
        new = [colour for colour in colours if colour not in self._least]
        if not new:
            return
        shares = self._shelf.least_of_each(self._threads.shelf_shares, NEVER)
        for colour, close in self._near(new, self._palette):
            self._least[colour] = int(shares[close].min(initial=NEVER))
        bare = [colour for colour in new if self._least[colour] == NEVER]
        if bare and len(self._at_home):
            found = self._near(bare, self._at_home)
            self._least |= {colour: 0 for colour, close in found if len(close)}

    def threads_within(self, wanted: Mask, charts: Mask, left: Costs) -> Mask:
        """Return which of some threads may serve one of some charts for what is left.

        Parameters
        ----------
        left : array of int
            For each chart how much more than the least may be paid, in minor units.
        """
        if charts.sum() > _FEW_CHARTS:
            return self.threads(wanted, charts)
        found = np.zeros_like(wanted)
        places = self._threads.shelf_places
        costs = self._threads.table["price"] * self._threads.table["units"]
        for chart in np.flatnonzero(charts).tolist():
            (drawn,) = self._drawn([chart])
            self._find_least(drawn)
            # A place saves what the dearest of the colours near it costs at least.
            saves = np.full(len(self._palette), -1)
            for colour, close in self._near(drawn, self._palette):
                saves[close] = np.maximum(saves[close], self._least[colour])
            near = self._shelf.having(np.flatnonzero(saves >= 0))[places]
            saved = self._shelf.sum_of_each_row(np.maximum(saves, 0))[places]
            found |= near & (costs - saved <= left[chart])
        return found & wanted

    def threads(self, wanted: Mask, charts: Mask) -> Mask:
        """Return which of some threads have a colour within the tolerance of one of some charts."""
        drawn = self._drawn(np.flatnonzero(charts).tolist())
        each = sorted({colour for chart in drawn for colour in chart})
        near = np.concatenate([close for _, close in self._near(each, self._palette)])
        return wanted & self._shelf.having(near)[self._threads.shelf_places]

    def charts(self, threads: Mask) -> Mask:
        """Return which charts have colours within the tolerance of every one of some threads."""
        found = np.ones(len(self._charts), dtype=bool)
        for colours in self._threads.colours_of(np.flatnonzero(threads).tolist()):
            near = self._near(colours, self._charted.palette)
            found &= self._charted.having(np.concatenate([close for _, close in near]))
        return found

    @cached_property
    def _charted(self) -> RowColours:
        """The colours of the charts."""
        return RowColours(";".join(chart) for chart in self._charts.colours)

    def _drawn(self, places: Sequence[int]) -> list[list[str]]:
        """Return the colours of some charts."""
        return self._charts.colours_of(places)

    def _near(
        self, colours: Collection[str], palette: Palette
    ) -> Iterator[tuple[str, NDArray[np.int64]]]:
        """Yield each colour with the numbers of those of a palette within the tolerance."""
        near = palette.near_each(list(colours), self._tolerance)
        yield from ((one, close) for one, (close, _) in zip(colours, near, strict=True))
