"""How many colours can be apart from each other, held against trying every set."""

import random
from itertools import combinations

import numpy as np
import pytest
from seeds import over_seeds

from kitsolver.solve.decomposition.free import apart
from kitsolver.solve.decomposition.free.apart import most_apart


def drawn(seed, number):
    draw = random.Random(seed)
    alike = np.eye(number, dtype=bool)
    share = draw.random()
    for one, two in combinations(range(number), 2):
        alike[one, two] = alike[two, one] = draw.random() < share
    return alike


def largest(alike):
    """Return the size of the largest set of which no two are alike, by trying all."""
    numbers = range(len(alike))
    return max(
        size
        for size in range(len(alike) + 1)
        if any(
            not any(alike[pair] for pair in combinations(some, 2))
            for some in combinations(numbers, size)
        )
    )


@over_seeds(range(71_000, 71_030), quick=10)
def test_it_is_the_largest_set_of_which_no_two_are_alike(seed):
    alike = drawn(seed, seed % 11)
    assert most_apart(alike, 11) == largest(alike)


@pytest.mark.parametrize("enough", [0, 1, 3])
def test_no_more_are_looked_for_than_are_enough(enough):
    assert most_apart(np.eye(9, dtype=bool), enough) == enough


@over_seeds(range(71_000, 71_010), quick=3)
def test_it_is_a_bound_where_it_is_given_up(monkeypatch, seed):
    monkeypatch.setattr(apart, "_MOST_SETS", 0)
    alike = drawn(seed, 10)
    assert largest(alike) <= most_apart(alike, 11) <= 10
