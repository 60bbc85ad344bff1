"""Which thread colours are near which charted colours, found once for all charts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import partial
from itertools import compress
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kitsolver.brief.stitching import Shades
from kitsolver.craft.colour import DIFFERENCE_UNIT, differences
from kitsolver.shop.palette import Palette
from kitsolver.solve.candidates.candidate import Thread
from kitsolver.solve.candidates.places import Asked, NearPlaces, near_places
from kitsolver.solve.candidates.quantities import place_points
from kitsolver.solve.presolve.place_dominance import PlaceDominance, PlaceMeasures
from kitsolver.solve.time_limit import TimeLimit

Array = NDArray[Any]

# Differences from so many colours are measured between two looks at the clock.
_AT_ONCE = 1000
# No two colours differ by so much.
_ANY = 1000 * DIFFERENCE_UNIT


def places_near(
    charted: Sequence[str],
    threads: Sequence[Thread],
    palette: Palette,
    tolerance: int,
    mismatch: Fraction,
    dominance: PlaceDominance | None = None,
    *,
    time_limit: TimeLimit | None = None,
) -> Mapping[str, NearPlaces]:
    """Return for each charted colour the places within a tolerance, in the threads' order.

    Parameters
    ----------
    charted : sequence of str
        Distinct colours.
    threads : sequence of Thread
        Each of their colours is a place; sorted by sku.
    palette : Palette
        With all of these colours.
    tolerance : int
        In ten-thousandths of CIEDE2000.
    mismatch : Fraction
        Quality points lost per unit of difference.
    dominance : PlaceDominance, optional
        If places that can be in no best kit may be left out.
    time_limit : TimeLimit, optional
        It is looked at while differences are measured.

    Raises
    ------
    OutOfTime
        If there is no time left.
    """
    time_limit = time_limit or TimeLimit()
    rows, index = _every_place(threads)
    if not len(rows) or not charted:
        return dict.fromkeys(charted, near_places(()))
    colours = [colour for thread in threads for colour in thread.colours]
    if dominance and not dominance.counted and tolerance >= _ANY:
        # Every place is near every colour and counts alike: dominance is the same for all colours.
        alike = np.zeros(len(rows), dtype=np.int64)
        useful = PlaceMeasures(threads, rows, dominance).unbeaten(np.arange(len(rows)), alike)
        rows, index = rows[useful], index[useful]
        colours = list(compress(colours, useful.tolist()))
        palette = Palette(colours)
    colour_of = np.array([palette.number[colour] for colour in colours], dtype=np.int64)
    quality = np.array([thread.points for thread in threads])[rows]
    measures = dominance and PlaceMeasures(threads, rows, dominance)
    near_each: list[tuple[Array, Array]] = []
    for start in range(0, len(charted), _AT_ONCE):
        time_limit.check()
        near_each += palette.near_each(charted[start : start + _AT_ONCE], tolerance)
    owner, at, away = _with_places(near_each, colour_of, len(palette))
    points = place_points(quality[at], away, mismatch)
    ends = np.cumsum(np.bincount(owner, minlength=len(charted)))[:-1]
    found: dict[str, NearPlaces] = {}
    each = zip(*(np.split(values, ends) for values in (at, away, points)), strict=True)
    for colour, (near, far, counted) in zip(charted, each, strict=True):
        unbeaten = None
        # Fewer places than a chart has colours are too few for any to be beaten often enough.
        if dominance and measures and len(near) > dominance.colours:
            unbeaten = partial(
                measures.unbeaten, near, counted if dominance.counted else np.zeros_like(counted)
            )
        found[colour] = NearPlaces(threads, rows[near], index[near], far, counted, unbeaten)
    return found


def places_again(
    near: Mapping[Asked, NearPlaces],
    threads: Sequence[Thread],
    dominance: PlaceDominance | None = None,
) -> dict[Asked, NearPlaces]:
    """Return places that are known to be near, in rows of the same skus, colours and points.

    Parameters
    ----------
    near : mapping of (str, str) to NearPlaces
        Of each charted colour and kind of thread.
    threads : sequence of Thread
        What their rows are by now.
    dominance : PlaceDominance, optional
        If places that can be in no best kit may be left out.
    """
    by_sku = {row.sku: row for row in threads}
    groups: dict[int, tuple[tuple[Thread, ...], Array, PlaceMeasures | None]] = {}
    found: dict[Asked, NearPlaces] = {}
    for asked, known in near.items():
        if id(known.threads) not in groups:
            rows = tuple(by_sku[row.sku] for row in known.threads)
            row, index = _every_place(rows)
            measures = PlaceMeasures(rows, row, dominance) if dominance else None
            groups[id(known.threads)] = rows, np.flatnonzero(index == 0), measures
        rows, first, measures = groups[id(known.threads)]
        useful = None
        if dominance and measures and len(known.row) > dominance.colours:
            points = known.points if dominance.counted else np.zeros_like(known.points)
            useful = partial(measures.unbeaten, first[known.row] + known.index, points)
        found[asked] = replace(known, threads=rows, useful=useful)
    return found


def _every_place(threads: Sequence[Thread]) -> tuple[Array, Array]:
    """Return of each place in some rows of thread the row's number, and its number in the row."""
    many = np.array([len(thread.colours) for thread in threads], dtype=np.int64)
    rows = np.repeat(np.arange(len(threads)), many)
    return rows, np.arange(len(rows)) - np.repeat(np.cumsum(many) - many, many)


def _with_places(
    near: Sequence[tuple[Array, Array]], colour_of: Array, colours: int
) -> tuple[Array, Array, Array]:
    """Return the charted colours' numbers, the places near each, rising, and how far these are.

    Parameters
    ----------
    near : sequence of (array of int, array of int)
        For each charted colour the thread colours near it, and their differences.
    colour_of : array of int
        Of each place the number of its colour.
    colours : int
        How many thread colours there are.
    """
    by_colour = np.argsort(colour_of, kind="stable")
    many = np.bincount(colour_of, minlength=colours)
    starts = np.cumsum(many) - many
    number, away = (np.concatenate([pair[i] for pair in near]) for i in (0, 1))
    owner = np.repeat(np.arange(len(near)), [len(close) for close, _ in near])
    each = many[number]
    runs = np.arange(each.sum()) - np.repeat(np.cumsum(each) - each, each)
    at = by_colour[np.repeat(starts[number], each) + runs]
    owner, away = np.repeat(owner, each), np.repeat(away, each)
    order = np.lexsort((at, owner))
    return owner[order], at[order], away[order]


def any_place(
    charted: Iterable[str], threads: Sequence[Thread], shades: Shades
) -> Mapping[str, NearPlaces]:
    """Return for each charted colour every place, where colours are free.

    The difference that costs points is the one to the nearest colour wished for; none where
    nothing is wished for.
    """
    rows, index = _every_place(threads)
    away = np.zeros(len(rows), dtype=np.int64)
    if shades.wish and len(rows):
        colours = [colour for thread in threads for colour in thread.colours]
        away = differences(colours, shades.wish).min(axis=1)
    quality = np.array([thread.points for thread in threads], dtype=np.int64)[rows]
    points = place_points(quality, away, Fraction(shades.mismatch))
    return dict.fromkeys(charted, NearPlaces(threads, rows, index, away, points))
