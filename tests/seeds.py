"""Random instances as cases: each seed is a case of its own, and its id names it."""

import pytest


def over_seeds(seeds, *, quick):
    """Run a test once for each seed: the first few always, the others with the slow tests.

    Where a test needs an instance that shows something, say a kit or a tie, its seeds are those
    that do, and the test asserts it. Whoever changes what the instances draw chooses new ones.
    """
    slow = [[], pytest.mark.slow]
    return pytest.mark.parametrize(
        "seed",
        [
            pytest.param(seed, id=f"seed-{seed}", marks=slow[number >= quick])
            for number, seed in enumerate(seeds)
        ],
    )
