"""The search for the multiplier at which a bound comes closest."""

from __future__ import annotations

import pytest

from kitsolver.solve.decomposition.multiplier import closest

# Convex, as bounds are: the greatest of some lines (slope, height).
LINES = ((-7, 90_000), (-2, 40_000), (3, 22_000), (50, -900_000))


def bound(multiplier: int) -> int:
    """Return the height of the highest line."""
    return max(slope * multiplier + height for slope, height in LINES)


@pytest.mark.parametrize("start", [0, 1, 2, 40, 3_600, 19_000, 500_000])
def test_every_start_comes_close_to_the_least(start: int) -> None:
    least = min(map(bound, range(20_000)))
    multiplier, found = closest(bound, start, 10**6)
    assert found == bound(multiplier)
    assert least <= found <= least * 1.02


@pytest.mark.parametrize("start", [0, 1, 7, 300])
def test_money_that_counts_for_nothing_is_not_priced(start: int) -> None:
    assert closest(lambda multiplier: 5 + multiplier, start, 1000) == (0, 5)


def test_the_search_ends_where_nothing_reaches_the_target() -> None:
    asked: list[int] = []

    def excess(multiplier: int) -> int:
        asked.append(multiplier)
        return 3 - multiplier

    assert closest(excess, 1, 1000)[1] < 0
    assert min(map(excess, asked[:-1])) >= 0


def test_no_multiplier_is_above_the_highest() -> None:
    assert closest(lambda multiplier: 1000 - multiplier, 5, 90)[0] <= 90
