"""What no kit with a chart can beat: a bound for every chart at once, without opening any.

Money is given a price: a choice counts its points less `rate` times its cost, and the whole sum to
spend counts `rate` times itself. For any rate, the best of each need by itself then adds up to no
less than any kit within the sum reaches (Lagrangian bound; Everett 1963, recalled from memory).
The least over a range of rates is the ceiling. Thread is let off lightly: colours may share a
place, every skein is reckoned at the effective count that takes least, and a pack's price is
parted among its colours. Everything that counts is whole numbers; only skeins and fits are
estimated in floating point, on the generous side.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from kitsolver.craft.lengths import INCH
from kitsolver.craft.thread import SKEIN_UNIT, strands
from kitsolver.solve import rules
from kitsolver.solve.entry.goods import Fabric, Offer, Place
from kitsolver.solve.entry.offers import Offers

Ints = NDArray[np.int64]

# Rates are whole numbers of this fraction of a weighed point per minor unit.
_FINE = 1024
_RATES = 48
# An estimate in floating point is off by far less than this.
_SLACK = 1e-9
# More than any kit costs, and yet such that sums stay within 64 bits.
_DEAR = 2**40
# Weighed points beyond this, times a chart's colours, could leave 64 bits: no bound is tried.
_MANY = 2**36
# Below any sum of points less cost, and far from the end of 64 bits.
_NEVER = -(2**60)


@dataclass(frozen=True)
class _Options:
    """The options of one choice: weighed points and cost in minor units."""

    points: Ints
    cost: Ints

    def worth(self, point: int, rate: int) -> Ints:
        """Return what each option counts, at what a point and a minor unit count."""
        return point * self.points - rate * self.cost

    def best(self, point: int, rate: int) -> int:
        """Return the most that an option counts, or ``_NEVER`` if there is none."""
        return int(self.worth(point, rate).max(initial=_NEVER))


def ceilings(offers: Offers) -> list[Fraction | None]:
    """Return for each chart what the first figure of its kits cannot go beyond.

    Returns
    -------
    list of Fraction or None
        In the charts' order and in the model's weighed points; None for a chart that no kit can
        hold.
    """
    spendable = max(high for _, high in offers.brief.register.affordable(offers.brief.total_cap))
    kinds = len({extra.category for extra in offers.extras})
    points = 100_00 * (sum(offers.weights.values()) + kinds * _share(offers))
    if points >= _MANY:
        return [Fraction(points)] * len(offers.charts)
    relaxed = _Relaxed(offers, offers.weights, min(spendable + 1, _DEAR))
    least = np.full(len(offers.charts), 2**62)
    for rate in _rates(offers, spendable, relaxed.terms):
        spent = rate * spendable + _extras(offers, spendable, rate)
        most = relaxed.most(_FINE, rate)
        least = np.minimum(least, np.where(most > _NEVER, most + relaxed.colours * spent, _NEVER))
    return [
        Fraction(int(bound), _FINE * int(number)) if bound > _NEVER else None
        for bound, number in zip(least, relaxed.colours, strict=True)
    ]


def floors(offers: Offers) -> list[int | None]:
    """Return for each chart a goods total below which none of its kits comes.

    Returns
    -------
    list of int or None
        In the charts' order and in minor units; None for a chart that no kit can hold.
    """
    relaxed = _Relaxed(offers, {}, _DEAR)
    return [
        -(int(most) // int(number)) if most > _NEVER else None
        for most, number in zip(relaxed.most(0, 1), relaxed.colours, strict=True)
    ]


class _Relaxed:
    """The needs of every chart, each to be chosen by itself.

    What costs more than `dear` is let off at that: no kit holds it, and the sums stay small.
    """

    def __init__(self, offers: Offers, weights: Mapping[str, int], dear: int) -> None:
        charts = offers.charts
        self.plain = [
            _options(offers.needs[need], weights.get(need, 0), dear) for need in offers.plain_needs
        ]
        self.charts = _options(charts, weights.get("chart", 0), dear)
        fabrics = _worth_cutting(offers.fabrics)
        self.fits = _fits(offers, fabrics)
        self.fabrics = _options(fabrics, weights.get("fabric", 0), dear)
        self.thread = _Thread(offers, weights.get("thread", 0), dear) if offers.shaded else None
        number = (len(chart.shades or ()) if offers.shaded else 1 for chart in charts)
        # What a chart counts is told times its colours, and so in whole numbers.
        self.colours = _array(number)
        # How many options' worth, at the most, are added up for one chart.
        self.terms = (len(self.plain) + 3) * int(self.colours.max(initial=1)) ** 2

    def most(self, point: int, rate: int) -> Ints:
        """Return the most that the needs of each chart count, times its colours.

        Parameters
        ----------
        point : int
            What a weighed point counts.
        rate : int
            What a minor unit of cost takes away.

        Returns
        -------
        array of int64
            One a chart; ``_NEVER`` where a need has nothing for it.
        """
        plain = [options.best(point, rate) for options in self.plain]
        cloth = np.where(self.fits, self.fabrics.worth(point, rate), _NEVER)
        cloth = cloth.max(axis=1, initial=_NEVER)
        shades = (
            np.zeros_like(self.colours)
            if self.thread is None
            else self.thread.best(point, rate, self.colours)
        )
        possible = (cloth > _NEVER) & (shades > _NEVER) & (min(plain, default=0) > _NEVER)
        whole = self.charts.worth(point, rate) + np.where(possible, cloth + sum(plain), 0)
        return np.where(possible, self.colours * whole + shades, _NEVER)


def _rates(offers: Offers, spendable: int, terms: int) -> list[int]:
    """Return rates from none at all to far dearer than points can be, evenly by factors.

    Those are left out at which so many terms would leave 64 bits.
    """
    points = 100_00 * (sum(offers.weights.values()) + _share(offers)) + 1
    top = 64 * _FINE * points // max(1, spendable) + 1
    rates = {0, *(int(top * 2 ** (-i / 3)) for i in range(_RATES))}
    return sorted(rate for rate in rates if rate * (spendable + 1) * terms < -_NEVER // 4)


def _share(offers: Offers) -> int:
    """Return what a point of an extra weighs, where it is weighed with the needs."""
    if offers.brief.extras.spend != "together":
        return 0
    return int(Fraction(offers.brief.extras.weight) * offers.parts)


def _extras(offers: Offers, spendable: int, rate: int) -> int:
    if not (share := _share(offers)):
        return 0
    best: dict[str, int] = {}
    for extra in offers.extras:
        worth = _FINE * share * extra.points - rate * extra.cost
        if extra.cost <= spendable:
            best[extra.category] = max(worth, best.get(extra.category, 0))
    return sum(best.values())


def _options(rows: Sequence[Offer], weight: int, dear: int) -> _Options:
    points, cost = (row.points for row in rows), (min(row.cost, dear) for row in rows)
    return _Options(weight * _array(points), _array(cost))


def _array(values: Iterable[int]) -> Ints:
    return np.fromiter(values, dtype=np.int64)


def _fits(offers: Offers, fabrics: Sequence[Fabric]) -> NDArray[np.bool_]:
    """Tell, generously, which chart fits which fabric at all: shape (charts, fabrics)."""
    shape = len(offers.charts), len(fabrics)
    if any(chart.size is None for chart in offers.charts):
        return np.ones(shape, dtype=bool)
    margin = 2 * float(offers.brief.fit.margin)
    pitch = np.array([INCH / float(fabric.count or 1) for fabric in fabrics])
    stitches = np.array([sorted(chart.size or ()) for chart in offers.charts]).reshape(-1, 1, 2)
    # What is not known of a fabric at home is not held against it.
    sides = [
        sorted(map(float, fabric.size or ())) if fabric.size and fabric.count else [np.inf] * 2
        for fabric in fabrics
    ]
    cut = stitches * pitch.reshape(1, -1, 1) + margin
    room = np.array(sides).reshape(1, -1, 2) * (1 + _SLACK) + 1
    return np.asarray((cut <= room).all(axis=2), dtype=np.bool_)


class _Thread:
    """The colours of every chart with their places, in one long row."""

    def __init__(self, offers: Offers, weight: int, dear: int) -> None:
        charted = [(chart, *shade) for chart in offers.charts for shade in chart.shades or ()]
        colours = sorted(offers.near)
        number = {colour: i for i, colour in enumerate(colours)}
        looked_at = [_worth_a_look(offers.near[colour]) for colour in colours]
        places = [place for near in looked_at for place in near]
        points = _array(place.points for place in places)
        shares = (place.thread.price / len(place.thread.colours) for place in places)
        share = np.fromiter(shares, dtype=float)
        length = np.array([float(place.thread.skein_length) for place in places])
        many = _array(len(near) for near in looked_at)
        start = np.concatenate([[0], np.cumsum(many)])
        which = _array(number[colour] for _, colour, _ in charted)
        # For each charted colour of each chart the run of its places.
        self.runs = many[which] if len(which) else many[:0]
        ends = np.cumsum(self.runs)
        at = np.arange(ends[-1] if len(ends) else 0) - np.repeat(ends - self.runs, self.runs)
        at += np.repeat(start[which], self.runs) if len(which) else 0
        stitches = np.repeat(np.array([float(s) for _, _, s in charted]), self.runs)
        pools, sharing = rules.pools(offers.brief)
        skeins = np.ceil(stitches * sharing * _single_strand(offers) / length[at] * (1 - _SLACK))
        cost = np.floor(pools * np.maximum(1, skeins) * share[at] * (1 - _SLACK))
        self.points = weight * points[at]
        self.cost = np.minimum(cost, dear).astype(np.int64)
        self.starts = ends - self.runs

    def best(self, point: int, rate: int, colours: Ints) -> Ints:
        """Return the most that the shades of each chart count, times its colours."""
        owner = np.repeat(np.arange(len(colours)), colours)
        times = np.repeat(colours[owner], self.runs)
        filled = self.runs > 0
        each = np.zeros(len(self.runs), dtype=np.int64)
        if filled.any():
            worth = point * self.points - rate * times * self.cost
            each[filled] = np.maximum.reduceat(worth, self.starts[filled])
        sums, without = np.zeros_like(colours), np.zeros_like(colours)
        np.add.at(sums, owner, each)
        np.add.at(without, owner, ~filled)
        return np.where(without > 0, _NEVER, sums)


def _worth_a_look(places: list[Place]) -> list[Place]:
    """Leave out places that count no more than one that is no dearer and holds no less."""
    kept: list[tuple[Fraction, int, Place]] = []
    for place in sorted(places, key=lambda place: -place.points):
        share = Fraction(place.thread.price, len(place.thread.colours))
        length = place.thread.skein_length
        if not any(less <= share and more >= length for less, more, _ in kept):
            kept.append((share, length, place))
    return [place for _, _, place in kept]


def _worth_cutting(fabrics: Sequence[Fabric]) -> list[Fabric]:
    """Leave out fabrics that count no more than one as large, at the same count, no dearer."""
    kept: dict[Fraction | None, list[tuple[int, Fraction, Fraction, Fabric]]] = defaultdict(list)
    for fabric in sorted(fabrics, key=lambda fabric: -fabric.points):
        short, long = sorted(fabric.size or (Fraction(0), Fraction(0)))
        same = kept[fabric.count]
        if not any(
            price <= fabric.price and one >= short and other >= long
            for price, one, other, _ in same
        ):
            same.append((fabric.price, short, long, fabric))
    return [fabric for same in kept.values() for *_, fabric in same]


def _single_strand(offers: Offers) -> float:
    """Return the least thread that a stitch takes on any fabric, in the skeins' unit."""
    fit = offers.brief.fit
    counts = {fabric.count for fabric in offers.fabrics}
    if not counts or None in counts:
        return 0.0
    plies = min(float((fit.strands or strands(c)) / c) for c in counts if c is not None)
    return 2 * (1 + sqrt(2)) * plies * INCH / SKEIN_UNIT * (1 + float(fit.waste))
