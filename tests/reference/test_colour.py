"""Colour against published values and against two libraries."""

import csv
import warnings
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

import numpy as np
import pytest
from coloraide import Color

from kitsolver.craft.colour import ciede2000, differences, lab

# Sharma, Wu & Dalal (2005), Color Research & Application 30(1):21-30: their 34 test pairs.
with (Path(__file__).parent / "ciede2000_pairs.csv").open(encoding="utf-8", newline="") as file:
    PAIRS = list(csv.DictReader(file))


@pytest.mark.parametrize("order", ["12", "21"])
def test_ciede2000_gives_the_34_published_differences(order):
    one, other = (
        np.array([[float(pair[axis + side]) for axis in "Lab"] for pair in PAIRS]) for side in order
    )
    found = [f"{difference:.4f}" for difference in ciede2000(one, other)]
    assert len(found) == 34
    assert found == [pair["dE00"] for pair in PAIRS]


@pytest.mark.parametrize(
    ("colour", "expected"),
    [  # IEC 61966-2-1:1999, D65; 0.03 covers how libraries round matrix and white.
        ("#ff0000", (53.24, 80.09, 67.20)),
        ("#00ff00", (87.74, -86.18, 83.18)),
        ("#0000ff", (32.30, 79.19, -107.86)),
        ("#808080", (53.585, 0, 0)),
    ],
)
def test_srgb_is_seen_in_daylight_of_6500_k(colour, expected):
    assert lab([colour])[0] == pytest.approx(expected, abs=0.03)


def test_the_answer_for_d50_is_not_given():
    # What a library with the white of printing, D50, says of red; coloraide's `lab` is one.
    wrong = (54.29, 80.81, 69.89)
    assert Color("#ff0000").convert("lab").coords() == pytest.approx(wrong, abs=0.03)
    assert all(np.abs(lab(["#ff0000"])[0] - wrong) > 0.5)


def random_colours(count, seed):
    codes = np.random.default_rng(seed).integers(0, 2**24, count)
    # Greys and near greys, where hue means nothing, and the ends of the scale.
    return [f"#{code:06x}" for code in codes] + ["#000000", "#ffffff", "#808080", "#808081"]


def test_lab_and_difference_agree_with_coloraide():
    ones, others = random_colours(400, 2005), random_colours(400, 1999)
    for one, mine in zip(ones, lab(ones), strict=True):
        # Its white and matrix have more digits than the specification's.
        assert mine == pytest.approx(Color(one).convert("lab-d65").coords(), abs=1e-4)
    far = np.diagonal(differences(ones, others)) / 10_000
    judged = [
        Color(one).delta_e(other, method="2000", space="lab-d65")
        for one, other in zip(ones, others, strict=True)
    ]
    assert far == pytest.approx(judged, abs=2e-4)


def test_ciede2000_agrees_with_colour_science():
    with warnings.catch_warnings():
        # On import it says that parts we do not use lack their optional packages.
        warnings.simplefilter("ignore")
        import colour
    one, other = lab(random_colours(20_000, 34)), lab(random_colours(20_000, 35))
    judged = colour.delta_E(one, other, method="CIE 2000")
    assert ciede2000(one, other) == pytest.approx(judged, abs=1e-9)
    assert ciede2000(other, one) == pytest.approx(judged, abs=1e-9)


def test_differences_are_rounded_half_up_to_four_decimals():
    ones, others = random_colours(300, 4), random_colours(300, 5)
    exact = ciede2000(lab(ones)[:, None], lab(others))
    found = differences(ones, others)
    unit = Decimal("0.0001")
    for raw, tenthousandths in zip(exact.flat, found.flat, strict=True):
        expected = Decimal(float(raw)).quantize(unit, ROUND_HALF_UP)
        assert tenthousandths * unit == expected
    # Down and up both occur, so neither cutting off nor rounding up would do.
    assert ((found / 10_000 < exact).any(), (found / 10_000 > exact).any()) == (True, True)


def test_a_tie_in_the_fifth_decimal_goes_up(monkeypatch):
    # 0.03125 is a binary fraction: the tie is exact, and to even it would be 0.0312.
    monkeypatch.setattr("kitsolver.craft.colour.ciede2000", lambda *_: np.array([[0.03125]]))
    assert differences(["#000000"], ["#000000"]).tolist() == [[313]]
