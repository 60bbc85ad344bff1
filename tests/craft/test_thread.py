"""Skeins: how they grow with what takes thread, and what sharing saves."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitsolver.craft.thread import STRANDS, USUAL_SKEIN, skeins, strands

COUNTS = st.fractions(1, 40, max_denominator=3)
TAKES = {
    "stitches": st.integers(1, 20_000),
    "count": COUNTS,
    "plies": st.integers(1, 6),
    "waste": st.fractions(0, 1, max_denominator=100),
    "length": st.integers(10_000, USUAL_SKEIN),
}


@pytest.mark.parametrize(
    ("stitches", "count", "plies", "number"),
    [
        # A cross takes (2 + 2 sqrt 2) x 25.4 / 14 = 8.7602 mm; two strands of 2739 are 47.988 m,
        # of 2740 they are 48.006 m, and a skein holds 8 m x 6 = 48 m.
        (1, 14, 2, 1),
        (2739, 14, 2, 1),
        (2740, 14, 2, 2),
        (2739, 14, 4, 2),
        (5479, 14, 2, 2),
        (5480, 14, 2, 3),
    ],
)
def test_skeins_worked_by_hand(stitches, count, plies, number):
    assert skeins(stitches, Fraction(count), plies, Fraction(0), USUAL_SKEIN) == number


def test_a_skein_of_half_the_plies_holds_half():
    assert skeins(2739, Fraction(14), 2, Fraction(0), USUAL_SKEIN // 2) == 2
    assert skeins(1369, Fraction(14), 2, Fraction(0), USUAL_SKEIN // 2) == 1


@given(**TAKES, sharing=st.integers(1, 30))
def test_a_pool_takes_no_more_than_own_skeins_and_as_much_as_one_long_chart(
    stitches, count, plies, waste, length, sharing
):
    alone = skeins(stitches, count, plies, waste, length)
    pool = skeins(stitches, count, plies, waste, length, sharing)
    assert alone <= pool <= sharing * alone
    assert pool > sharing * (alone - 1)
    assert pool == skeins(stitches * sharing, count, plies, waste, length)


@given(**TAKES)
def test_more_of_anything_that_takes_thread_takes_no_less(stitches, count, plies, waste, length):
    number = skeins(stitches, count, plies, waste, length)
    assert number >= 1
    assert skeins(stitches + 1, count, plies, waste, length) >= number
    assert skeins(stitches, count, plies + 1, waste, length) >= number
    assert skeins(stitches, count, plies, waste + Fraction(1, 10), length) >= number
    assert skeins(stitches, count + 1, plies, waste, length) <= number
    assert skeins(stitches, count, plies, waste, length + 1) <= number


@given(**TAKES)
def test_waste_adds_its_share(stitches, count, plies, waste, length):
    # A share p/q of waste on q times the stitches is p more such charts without waste.
    p, q = waste.numerator, waste.denominator
    without = skeins((q + p) * stitches, count, plies, Fraction(0), length)
    assert skeins(q * stitches, count, plies, waste, length) == without


@given(count=COUNTS)
def test_finer_fabric_takes_no_more_strands(count):
    assert strands(count) in STRANDS
    assert strands(count) >= strands(count + 1) >= 1
