"""Frontiers against their definition: every point and every sum is tried."""

import random
from dataclasses import FrozenInstanceError
from fractions import Fraction
from itertools import product
from types import SimpleNamespace

import numpy as np
import pytest

from kitsolver.shop.till import Till
from kitsolver.solve.candidates.candidate import Candidate, Place, Selection, Thread
from kitsolver.solve.decomposition import frontier as frontiers
from kitsolver.solve.decomposition.chart_frontier import (
    Breakpoint,
    ChartFrontier,
    best_breakpoint,
    selection_of,
)
from kitsolver.solve.decomposition.contents import Contents, Option
from kitsolver.solve.decomposition.frontier import (
    StateLimitReached,
    frontier_of,
    sum_of,
    sum_of_all,
    union_of,
)
from kitsolver.solve.decomposition.frontier_settings import Bounds, FrontierSettings
from kitsolver.solve.decomposition.objective import SCORE_UNIT, Objective
from kitsolver.solve.decomposition.pareto import undominated
from kitsolver.solve.decomposition.row_parts import Slot
from kitsolver.solve.time_limit import OutOfTime, TimeLimit


def settings(free=0, window=1, base=1, large=False, seconds=None):
    return FrontierSettings(free, window, base, large=large, time_limit=TimeLimit(seconds))


def points_of(frontier):
    return list(zip(frontier.cost.tolist(), frontier.worth.tolist(), strict=True))


def by_definition(points, free, window):
    """Return the points that are kept.

    Below `free` that is the best of every cost. From there on it is the best of a cost that is no
    worse than any cheaper one from there on, and less than `window` dearer than the cheapest as
    good.
    """
    best = {}
    for cost, worth in points:
        best[cost] = max(worth, best.get(cost, worth))
    kept = [(cost, best[cost]) for cost in sorted(best) if cost < free]
    dear = [(cost, best[cost]) for cost in sorted(best) if cost >= free]
    for cost, worth in dear:
        cheaper = [(c, w) for c, w in dear if c < cost]
        equal = [c for c, w in cheaper if w == worth]
        if all(w <= worth for _, w in cheaper) and cost - min(equal, default=cost) < window:
            kept.append((cost, worth))
    return kept


def wanted(points, bounds, base):
    """Return the points within bounds."""
    return [
        (cost, worth)
        for cost, worth in points
        if cost <= bounds.limit
        and (
            bounds.floor is None
            or SCORE_UNIT * (worth // base) - bounds.multiplier * cost >= bounds.floor
        )
    ]


SHAPES = [(free, window) for free in (0, 1, 4, 99) for window in (1, 2, 3)]


@pytest.mark.parametrize(("free", "window"), SHAPES)
def test_the_points_that_are_kept_are_those_of_the_definition(free, window):
    draw = random.Random(free + window)
    for number in [*range(2, 12)] * 4:
        points = [(draw.randrange(7), draw.randrange(5)) for _ in range(number)]
        cost, worth = map(np.array, zip(*points, strict=True))
        kept = undominated(cost, worth, free, window)
        assert [*zip(*map(list, kept), strict=True)] == by_definition(points, free, window)


def test_one_point_is_kept_as_it_is():
    cost, worth = undominated(np.array([5]), np.array([-3]), 0, 1)
    assert (cost.tolist(), worth.tolist()) == ([5], [-3])


def drawn(draw, most=6):
    """Return some options, each with a line of its own."""
    return [
        Option(draw.randrange(9), draw.randrange(15), Contents(((0, f"{draw.random()}", 1),)))
        for _ in range(draw.randrange(1, most))
    ]


def any_bounds(draw):
    limit = draw.choice([3, 8, 20, 99])
    if draw.random() < 0.5:
        return Bounds(limit)
    return Bounds(limit, SCORE_UNIT * draw.randrange(20), draw.randrange(3 * SCORE_UNIT))


EVERYTHING = Bounds(10**6)


def traced(options, frontier):
    """Hold what breakpoints stand for against the first of all ways to come to them."""
    for point in points_of(frontier):
        ways = (
            sorted(line for one in some for line in one.taken.lines)
            for some in product(*options)
            if (sum(one.cost for one in some), sum(one.worth for one in some)) == point
        )
        first = min(ways, key=lambda lines: (*lines, (1, "", 0)))
        assert [*frontier.trace_back(*point).lines] == first


@pytest.mark.parametrize("seed", range(15))
@pytest.mark.parametrize("path", ["cost by cost", "in blocks", "large"])
def test_sums_are_those_of_every_two_breakpoints(seed, path, monkeypatch):
    draw = random.Random(seed)
    free, window = draw.choice(SHAPES)
    asked = settings(free, window, base=draw.choice([1, 7]), large=path == "large")
    monkeypatch.setattr(frontiers, "_SPARSE", 99 if path == "cost by cost" else 0)
    monkeypatch.setattr(frontiers, "_BLOCK", draw.choice([1, 4, 1 << 21]))
    options = [drawn(draw) for _ in range(2)]
    bounds = any_bounds(draw)
    one, other = (frontier_of(some, EVERYTHING, asked) for some in options)
    found = sum_of(one, other, bounds, asked)
    assert found.worth.dtype == (object if asked.large else np.int64)
    every = [(a + c, b + d) for (a, b), (c, d) in product(points_of(one), points_of(other))]
    assert points_of(found) == by_definition(wanted(every, bounds, asked.base), free, window)
    traced(options, found)


@pytest.mark.parametrize("seed", range(15))
def test_sums_of_several_leave_out_nothing_that_is_wanted(seed):
    draw = random.Random(seed)
    free, window = draw.choice(SHAPES)
    asked = settings(free, window, base=draw.choice([1, 7]))
    options = [drawn(draw, 4) for _ in range(draw.randrange(1, 5))]
    bounds = any_bounds(draw)
    parts = [frontier_of(some, EVERYTHING, asked) for some in options]
    every = [
        (sum(c for c, _ in some), sum(w for _, w in some))
        for some in product(*map(points_of, parts))
    ]
    found = sum_of_all(parts, bounds, asked)
    expected = wanted(every, bounds, asked.base) if len(parts) > 1 else every
    assert points_of(found) == by_definition(expected, free, window)
    if len(parts) > 1:
        traced(options, found)


@pytest.mark.parametrize("seed", range(10))
def test_options_and_unions_are_those_of_all_points(seed):
    draw = random.Random(seed)
    free, window = draw.choice(SHAPES)
    asked, bounds = settings(free, window, base=7), any_bounds(draw)
    several = [drawn(draw) for _ in range(3)]
    for some in several:
        points = [(option.cost, option.worth) for option in some]
        expected = by_definition(wanted(points, bounds, 7), free, window)
        assert points_of(frontier_of(some, bounds, asked)) == expected
    parts = [frontier_of(some, EVERYTHING, asked) for some in several]
    whole = union_of(parts, asked)
    every = [point for part in parts for point in points_of(part)]
    assert points_of(whole) == by_definition(every, free, window)
    traced([[option for some in several for option in some]], whole)
    assert union_of(parts[:1], asked) is parts[0]
    assert all(whole.has(*point) for point in points_of(whole))
    assert not any(whole.has(cost, worth + 1) for cost, worth in points_of(whole))
    assert not whole.has(whole.cost[-1] + 1, 0)


def test_no_breakpoint_of_one_part_makes_none_of_the_sum():
    asked = settings()
    none, some = union_of([], asked), frontier_of([Option(1, 1, Contents())], EVERYTHING, asked)
    assert len(none) == len(sum_of(none, some, EVERYTHING, asked)) == 0
    assert len(sum_of_all([some, none], EVERYTHING, asked)) == 0
    assert len(sum_of_all([some, some, some], Bounds(1), asked)) == 0


def test_the_best_score_is_that_of_the_first_figure():
    """1024 a point of it; 23 in sevens are 3, at a cost of 5."""
    options = [Option(5, 23, Contents()), Option(0, 6, Contents())]
    found = frontier_of(options, EVERYTHING, settings())
    assert found.best_score(100, 7) == 3 * SCORE_UNIT - 500
    assert found.best_score(1000, 7) == 0


def test_sums_are_refused_without_time_or_with_too_many_breakpoints(monkeypatch):
    asked = settings()
    one = frontier_of([Option(n, n, Contents()) for n in range(3)], EVERYTHING, asked)
    monkeypatch.setattr(frontiers, "_SPARSE", 0)
    monkeypatch.setattr(frontiers, "_MOST_BREAKPOINTS", 5)
    assert len(sum_of(one, one, EVERYTHING, asked)) == 5
    monkeypatch.setattr(frontiers, "_MOST_BREAKPOINTS", 4)
    with pytest.raises(StateLimitReached):
        sum_of(one, one, EVERYTHING, asked)
    with pytest.raises(OutOfTime):
        sum_of(one, one, EVERYTHING, settings(seconds=0))


def test_worths_beyond_64_bits_stay_whole():
    asked = settings(large=True)
    one = frontier_of([Option(1, 2**70, Contents())], EVERYTHING, asked)
    assert points_of(sum_of(one, one, EVERYTHING, asked)) == [(2, 2**71)]


def test_frontiers_do_not_change_and_are_told_apart_by_identity():
    asked, some = settings(), [Option(1, 1, Contents())]
    kinds = [
        lambda: frontier_of(some, EVERYTHING, asked),
        lambda: sum_of(kinds[0](), kinds[0](), EVERYTHING, asked),
        lambda: union_of([kinds[0](), kinds[0]()], asked),
    ]
    for made in kinds:
        one, other = made(), made()
        assert len({one, other, one}) == 2
        with pytest.raises(FrozenInstanceError):
            one.cost = other.cost


def test_what_is_wanted_beside_others():
    assert Bounds(10, 100, 3).beside(4, 30) == (6, 70, 3)
    assert Bounds(10).beside(4, 30) == (6, None, 0)


# The kits of a chart.

# Delivery is 3.00 up to goods of 10.00.
TILL = Till(delivery=300, delivery_free_from=1000)
PLAIN = Objective(times=2, together=False, share=0, base=100, large=False, only_money=False)


def of_chart(*points, together=False):
    """Return kits of a chart by their goods total and worth."""
    candidates = SimpleNamespace(brief=SimpleNamespace(exact_till=TILL))
    options = [Option(cost, worth, Contents(((0, f"{cost}", 1),))) for cost, worth in points]
    frontier = frontier_of(options, EVERYTHING, settings(free=10**6))
    return ChartFrontier(candidates, PLAIN._replace(together=together), frontier)


KITS = of_chart((100, 205), (700, 300), (900, 340), (1000, 340), (1100, 199))


@pytest.mark.parametrize(
    ("cap", "goods"),
    [
        (399, []),
        (400, [100]),
        (999, [100]),
        (1000, [100, 700, 1000]),
        (1099, [100, 700, 1000]),
        (1200, [100, 700, 900, 1000, 1100]),
    ],
)
def test_the_kits_within_a_cap_lie_on_both_sides_of_a_gap(cap, goods):
    found = list(KITS.breakpoints(cap))
    assert [one.cost for one in found] == goods
    assert [one.paid for one in found] == [goods + (300 if goods < 1000 else 0) for goods in goods]
    tops = [one.cost for one in KITS.tops(cap)]
    assert tops == [
        x
        for x in goods
        if dict(points_of(KITS.frontier))[x]
        == max((dict(points_of(KITS.frontier))[x] for x in goods), default=0)
    ]
    # Of 205 in hundreds the first figure is 2, of two colours.
    expected = {(): 0, (100,): Fraction(2, 2)}.get(tuple(goods), Fraction(3, 2))
    assert KITS.best_first(cap) == expected


def test_what_counts_after_what_is_paid_does_not_make_a_top():
    """Together, 340 and 300 have the same first figure."""
    both = of_chart((700, 300), (1000, 340), together=True)
    assert [one.cost for one in both.tops(1000)] == [700, 1000]
    assert [one.figures for one in both.tops(1000)] == [
        ((Fraction(3, 2),), Fraction(0)),
        ((Fraction(3, 2),), Fraction(40, 2)),
    ]


def test_the_best_is_the_first_by_figures_then_by_what_is_paid_then_by_the_rest():
    def best(*points, together=False):
        kits = of_chart(*points, together=together)
        found = best_breakpoint(kits.breakpoints(10**6))
        return found.cost, found.worth

    assert best((900, 340), (1000, 341)) == (1000, 341)
    assert best((900, 340), (1000, 340)) == (1000, 340)
    assert best((1001, 340), (1000, 340)) == (1000, 340)
    assert best((700, 300), (1000, 340), together=True) == (1000, 340)
    # 7.00 and 3.00 for delivery come to what 10.00 does.
    assert best((700, 345), (1000, 340), together=True) == (700, 345)


def test_a_breakpoint_tells_its_figures_and_what_is_paid():
    (one,) = of_chart((700, 305)).breakpoints(1000)
    assert isinstance(one, Breakpoint)
    assert (one.first, one.figures, one.paid) == (
        Fraction(3, 2),
        ((Fraction(3, 2), Fraction(5)), Fraction(0)),
        1000,
    )


def test_a_selection_is_made_of_what_was_traced_back():
    thread = Thread("T", "thread", colours=("#000000", "#ffffff"))
    dark, light = Place(thread, 0, 0, 1), Place(thread, 1, 0, 1)
    needle, hoop, case = Candidate("N", "needle"), Candidate("H", "hoop"), Candidate("C", "case")
    goods = ((1, light), (Slot.NEED, needle), (Slot.EXTRA, hoop), (0, dark), (Slot.EXTRA, case))
    expected = Selection({"needle": needle}, (dark, light), (case, hoop))
    assert selection_of(Contents(goods=goods)) == expected
