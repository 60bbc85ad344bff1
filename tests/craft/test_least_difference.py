"""The bound below CIEDE2000, by which most pairs of colours need no difference measured."""

import numpy as np
import pytest

from kitsolver.craft.colour import (
    LabParts,
    ciede2000,
    differences,
    least_difference,
    lightness_reach,
    too_alike,
)


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


# Of colours in this direction in a and b: b not below zero, hues from 90 to 225 degrees, and hues
# from -45 to 90 degrees, as the bits 1, 2 and 4.
HUES = {
    (1, 0): 5, (9, 9): 5, (0, 1): 7, (-9, 9): 3, (-1, 0): 3, (-1, -1): 2, (-1, -1.01): 0,
    (0, -1): 0, (1, -1.01): 0, (1, -1): 4, (0, 0): 7,
}  # fmt: skip


def test_colours_are_sorted_by_their_hues_at_the_ends_of_the_ranges() -> None:
    found = LabParts.of(np.array([(50, a, b) for a, b in HUES], dtype=float))
    assert found.hues.tolist() == list(HUES.values())


@pytest.mark.parametrize(
    ("one", "other", "counts"),
    [
        ((10, 1), (20, 2), 0.999999),
        ((0, 10), (0, 20), 0.999999),
        ((-10, 1), (-20, 2), 0.999999),
        ((10, 1), (-10, 1), 0.999999),
        ((-1, 10), (-1, -1), 0.98),
        ((1, 10), (1, -1), 0.918),
        ((1, -10), (-1, -10), 0.133),
        ((-1, -1), (-2, -2), 0.98),
        ((1, -1), (2, -2), 0.918),
    ],
)
def test_the_least_difference_is_that_of_its_formula(one, other, counts) -> None:
    """The difference in lightness at a mean of 60, and the distance in a and b."""
    first, second = (40, *one), (80, *other)
    chroma = (np.hypot(*one) + np.hypot(*other)) / 2
    light = 40 / (1 + 0.015 * 100 / np.sqrt(120))
    apart = np.hypot(one[0] - other[0], one[1] - other[1]) / (1 + 0.045 * (chroma + 6.5))
    expected = np.sqrt(light**2 + counts * apart**2)
    parts = [LabParts.of(np.array([colour], dtype=float)) for colour in (first, second)]
    assert least_difference(*parts) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("difference", [0.5, 6.0, 30.0])
def test_how_far_in_lightness_a_colour_can_be(difference: float) -> None:
    """The lightness weight is at most 1.7471 (at 0 and 100), and 1 at 50."""
    middle, end = lightness_reach(np.array([50.0, 0.0]), difference)
    most = 1 + 0.015 * 2500 / np.sqrt(2520)
    half = difference * most / 2
    assert middle == pytest.approx(difference * (1 + 0.015 * half**2 / np.sqrt(20 + half**2)))
    far = 50 + half
    assert end == pytest.approx(difference * (1 + 0.015 * far**2 / np.sqrt(20 + far**2)))


def test_colours_that_differ_by_just_as_much_are_not_too_alike() -> None:
    apart = int(differences(["#000000"], ["#0a0a0a"])[0, 0])
    assert too_alike(["#000000"], ["#0a0a0a", "#000000"], apart).tolist() == [[False, True]]
    assert too_alike(["#000000"], ["#0a0a0a"], apart + 1).tolist() == [[True]]
    assert too_alike([], ["#000000"], 1).shape == (0, 1)
    assert too_alike(["#000000"], [], 1).shape == (1, 0)
