"""The multiplier, which is the price of money, at which an upper bound comes closest."""

from __future__ import annotations

from collections.abc import Callable, Sequence

# By these factors multipliers are tried, up and down, the finer ones later.
_FACTORS = (1.6, 1.25, 1.1, 1.04, 1.015)


def closest(
    excess: Callable[[int], int], start: int, most: int, factors: Sequence[float] = _FACTORS
) -> tuple[int, int]:
    """Return a multiplier with little excess, and that excess.

    Parameters
    ----------
    excess : callable
        By how much the bound at a multiplier is above what must be reached; convex. Once it is
        below zero, nothing reaches it, and the search ends.
    start : int
        The multiplier to start with.
    most : int
        The highest multiplier.
    factors : sequence of float
        Of steps, the coarse ones first.
    """
    best = min(start, most)
    least = excess(best)
    for factor in factors:
        for step in (factor, 1 / factor):
            while least >= 0:
                # Small multipliers are stepped through one by one.
                other = max(int(best * step), best + 1) if step > 1 else int(best * step)
                if other == best or other > most or (found := excess(other)) >= least:
                    break
                best, least = other, found
    return best, least
