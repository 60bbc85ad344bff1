"""Places that are not needed, held against the best of every set of places."""

import random
from itertools import combinations

import numpy as np
from seeds import over_seeds

from kitsolver.solve.decomposition.free.needed import needed


def drawn(seed):
    """Draw places with many equal costs and points, and which are too alike."""
    draw = random.Random(f"needed {seed}")
    number = draw.randint(1, 11)
    cost = [draw.choice([0, 100, 115, 135]) for _ in range(number)]
    points = [draw.choice([0, 0, 0, 5, 7]) for _ in range(number)]
    alike = np.eye(number, dtype=bool)
    share = draw.choice([0.0, 0.1, 0.2, 0.5])
    for one, two in combinations(range(number), 2):
        alike[one, two] = alike[two, one] = draw.random() < share
    kept = np.array([draw.random() < 0.1 for _ in range(number)])
    return np.array(cost), np.array(points), alike, kept, draw.randint(1, 4)


def best_of(places, size, cost, points, alike, kept):
    """Return the best costs and points of all sets of so many of some places."""
    found = {
        (int(cost[list(some)].sum()), int(points[list(some)].sum()))
        for some in combinations(places, size)
        if set(np.flatnonzero(kept)) <= set(some)
        and not any(alike[pair] for pair in combinations(some, 2))
    }
    return {
        (paid, counted)
        for paid, counted in found
        if not any(p <= paid and c >= counted and (p, c) != (paid, counted) for p, c in found)
    }


@over_seeds(range(74_000, 74_100), quick=25)
def test_what_is_left_has_the_best_costs_and_points_of_every_number_of_places(seed):
    cost, points, alike, kept, colours = drawn(seed)
    left = needed(cost, points, alike, kept, colours)
    for size in range(1, colours + 1):
        every = best_of(range(len(cost)), size, cost, points, alike, kept)
        assert best_of(np.flatnonzero(left).tolist(), size, cost, points, alike, kept) == every


def test_of_places_that_bar_nothing_as_many_are_left_as_are_taken():
    nothing = np.zeros((9, 9), dtype=bool)
    equal = np.ones(9, dtype=np.int64)
    assert (
        needed(equal, equal, nothing, np.zeros(9, dtype=bool), 4).tolist()
        == [True] * 4 + [False] * 5
    )
