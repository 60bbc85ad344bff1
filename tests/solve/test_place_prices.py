"""Prices of places against another solver of the assignment problem."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment

from kitsolver.solve.decomposition.thread.place_prices import NEVER, place_prices

# What the other solver gets for what is not allowed.
BARRED = -1e6


@pytest.mark.parametrize("seed", range(60))
def test_prices_bound_as_closely_as_the_best_assignment_scores(seed: int) -> None:
    draw = np.random.default_rng(seed)
    colours, places = int(draw.integers(1, 9)), int(draw.integers(1, 12))
    scores = draw.integers(-50, 50, (colours, places))
    scores[draw.random((colours, places)) < 0.4] = NEVER
    own = draw.integers(-80, 40, colours)
    own[draw.random(colours) < 0.5] = NEVER
    prices, assigned = place_prices(scores, own)
    # Each colour's own place is a column of its own.
    every = np.full((colours, places + colours), BARRED)
    every[:, :places] = np.where(scores > NEVER, scores, BARRED)
    every[np.arange(colours), places + np.arange(colours)] = np.where(own > NEVER, own, BARRED)
    best = every[linear_sum_assignment(every, maximize=True)].sum()
    assert (prices >= 0).all()
    if best < BARRED / 2:
        assert -2 in assigned
        return
    bound = np.maximum((scores - prices).max(axis=1), own).sum() + prices.sum()
    found = [own[c] if place == -1 else scores[c, place] for c, place in enumerate(assigned)]
    taken = [place for place in assigned.tolist() if place >= 0]
    assert bound == sum(found) == best
    assert len(taken) == len(set(taken))


def test_a_place_that_one_colour_wants_most_costs_nothing() -> None:
    prices, assigned = place_prices(np.array([[5, 3], [1, 4]]), np.array([NEVER, NEVER]))
    assert prices.tolist() == [0, 0]
    assert assigned.tolist() == [0, 1]


def test_scores_that_could_leave_64_bits_get_no_prices() -> None:
    prices, assigned = place_prices(np.full((2, 1), 2**57), np.array([NEVER, 0]))
    assert prices.tolist() == [0]
    assert assigned.tolist() == [-2, -2]
