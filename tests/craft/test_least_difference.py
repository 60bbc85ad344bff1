"""The bound below CIEDE2000, by which most pairs of colours need no difference measured."""

import numpy as np
import pytest

from kitsolver.craft.colour import LabParts, ciede2000, least_difference


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("spread", [0.5, 4.0, 30.0])
def test_no_difference_is_below_the_least(seed: int, spread: float) -> None:
    draw = np.random.default_rng(seed)
    # Greys and vivid colours alike: CIELAB in which sRGB lies, and some beyond.
    one = draw.uniform([0, -128, -128], [100, 128, 128], (5000, 3))
    one[:, 1:] *= draw.choice([0.05, 0.3, 1.0], (5000, 1))
    other = one + draw.normal(0, spread, (5000, 3))
    other[:, 0] = np.clip(other[:, 0], 0, 100)
    least = least_difference(LabParts.of(one), LabParts.of(other))
    assert (least <= ciede2000(one, other) + 1e-9).all()
