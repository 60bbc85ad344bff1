"""The best sets of places that differ enough, held against trying every set."""

import random
from itertools import combinations

import numpy as np
import pytest
from seeds import over_seeds

from kitsolver.solve.decomposition.free import best_set
from kitsolver.solve.decomposition.free.best_set import BestSets
from kitsolver.solve.decomposition.frontier import StateLimitReached


def drawn(seed, least):
    """Draw weights, many of them equal, and which places are too alike."""
    draw = random.Random(f"best sets {seed}")
    number = draw.randint(1, 9)
    weights = [draw.randint(least, least + draw.choice([1, 8])) for _ in range(number)]
    alike = np.eye(number, dtype=bool)
    share = draw.random()
    for one, two in combinations(range(number), 2):
        alike[one, two] = alike[two, one] = draw.random() < share
    kept = draw.sample(range(number), draw.choice([0, 0, 1, min(2, number)]))
    return weights, alike, draw.randint(1, 5), kept


def sets_of(size, alike, kept):
    """Return every set of some size that holds what is kept, by trying all."""
    return [
        some
        for some in combinations(range(len(alike)), size)
        if set(kept) <= set(some) and not any(alike[pair] for pair in combinations(some, 2))
    ]


def weight_of(some, weights):
    return sum(weights[place] for place in some)


@over_seeds(range(72_000, 72_060), quick=20)
def test_the_heaviest_set_is_found_and_of_several_the_first(seed):
    weights, alike, size, kept = drawn(seed, least=-5)
    sets = sets_of(size, alike, kept)
    search = BestSets(weights, alike, lambda: None)
    first = min(sets, key=lambda some: (-weight_of(some, weights), some), default=None)
    assert search.heaviest(size, kept) == (first and weight_of(first, weights))
    every = range(len(weights))
    assert search.first_heaviest(size, kept, every) == (first and list(first))


@over_seeds(range(73_000, 73_060), quick=20)
def test_every_heaviest_set_of_at_most_so_many_places_is_listed(seed):
    weights, alike, most, kept = drawn(seed, least=1)
    sets = [some for size in range(most + 1) for some in sets_of(size, alike, kept)]
    best = max((weight_of(some, weights) for some in sets), default=None)
    wanted = sorted(list(some) for some in sets if weight_of(some, weights) == best)
    assert sorted(BestSets(weights, alike, lambda: None).all_heaviest(most, kept)) == wanted


def test_places_that_may_not_be_held_are_left_out():
    search = BestSets([3, 2, 1], np.eye(3, dtype=bool), lambda: None)
    assert search.first_heaviest(2, [], [1, 2]) == [1, 2]
    assert search.first_heaviest(2, [0], [1, 2]) is None


def test_it_is_given_up_where_it_takes_too_long(monkeypatch):
    monkeypatch.setattr(best_set, "_MOST_NODES", 0)
    with pytest.raises(StateLimitReached):
        BestSets([1], np.eye(1, dtype=bool), lambda: None).heaviest(1)
