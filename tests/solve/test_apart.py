"""How many colours can be apart from each other, held against trying every set."""

import random
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from seeds import over_seeds

from kitsolver import brief_of, read_catalogue
from kitsolver.craft.colour import DIFFERENCE_UNIT, too_alike
from kitsolver.solve.decomposition.free import apart
from kitsolver.solve.decomposition.free.alike import AlikeColours
from kitsolver.solve.decomposition.free.apart import most_apart
from kitsolver.solve.decomposition.limited_sums import limited_sums
from kitsolver.solve.presolve.find import find_candidates


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


@pytest.mark.parametrize("asked", [(99, 10, 50), (10, 50, 99)])
def test_colours_are_alike_whatever_contrast_was_asked_for_before(asked):
    draw = random.Random(4711)
    colours = sorted({f"#{draw.randrange(2**24):06x}" for _ in range(40)})
    for contrast in asked:
        least = contrast * DIFFERENCE_UNIT
        found = AlikeColours(colours, least).among(colours)
        assert (found == too_alike(colours, colours, least)).all()


def test_free_colours_share_their_places_at_other_prices_too():
    shop = Path(__file__).parents[2] / "catalogues" / "tormellick-whelk.csv"
    limit = {"name": "light", "column": "weight_g", "blank": 0, "most": "470"}
    brief = brief_of(
        {"currency": "EUR", "cap": "30.00", "shades": {"mode": "free"}, "limits": [limit]}
    )
    candidates = find_candidates(read_catalogue(shop, currency="EUR"), brief, thin=True)
    (weight, *_) = limited_sums(candidates, brief.total_cap)
    shared = {id(near) for near in candidates.near.near.values()}
    assert len(shared) < len(candidates.near.near)
    priced = weight.priced(candidates).near.near
    assert len({id(near) for near in priced.values()}) == len(shared)
