"""Skeins: how they grow with what takes thread, and what sharing saves."""

from decimal import Decimal, localcontext
from fractions import Fraction
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitsolver.craft.lengths import CM
from kitsolver.craft.thread import (
    STRANDS,
    USUAL_SKEIN,
    Charted,
    metres_off_skein,
    skeins,
    strands,
)


def needed(stitches, *takes):
    return skeins(Charted("#000000", stitches), *takes)


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
    assert needed(stitches, Fraction(count), plies, Fraction(0), USUAL_SKEIN) == number


def test_a_skein_of_half_the_plies_holds_half():
    assert needed(2739, Fraction(14), 2, Fraction(0), USUAL_SKEIN // 2) == 2
    assert needed(1369, Fraction(14), 2, Fraction(0), USUAL_SKEIN // 2) == 1


@given(**TAKES, sharing=st.integers(1, 30))
def test_a_pool_takes_no_more_than_own_skeins_and_as_much_as_one_long_chart(
    stitches, count, plies, waste, length, sharing
):
    alone = needed(stitches, count, plies, waste, length)
    pool = needed(stitches, count, plies, waste, length, sharing)
    assert alone <= pool <= sharing * alone
    assert pool > sharing * (alone - 1)
    assert pool == needed(stitches * sharing, count, plies, waste, length)


@given(**TAKES)
def test_more_of_anything_that_takes_thread_takes_no_less(stitches, count, plies, waste, length):
    number = needed(stitches, count, plies, waste, length)
    assert number >= 1
    assert needed(stitches + 1, count, plies, waste, length) >= number
    assert needed(stitches, count, plies + 1, waste, length) >= number
    assert needed(stitches, count, plies, waste + Fraction(1, 10), length) >= number
    assert needed(stitches, count + 1, plies, waste, length) <= number
    assert needed(stitches, count, plies, waste, length + 1) <= number


@given(**TAKES)
def test_waste_adds_its_share(stitches, count, plies, waste, length):
    # A share p/q of waste on q times the stitches is p more such charts without waste.
    p, q = waste.numerator, waste.denominator
    without = needed((q + p) * stitches, count, plies, Fraction(0), length)
    assert needed(q * stitches, count, plies, waste, length) == without


@given(count=COUNTS)
def test_finer_fabric_takes_no_more_strands(count):
    assert strands(count) in STRANDS
    assert strands(count) >= strands(count + 1) >= 1


@given(
    TAKES["stitches"], st.integers(0, 50_000), COUNTS, TAKES["plies"], TAKES["waste"],
    TAKES["length"], st.integers(1, 5),
)  # fmt: skip
def test_backstitch_takes_its_length_in_front_and_as_much_behind(
    stitches, tenths, count, plies, waste, length, sharing
):
    """Sixty digits of the square root, and nothing of the code under test."""
    asked = Charted("#000000", stitches, backstitch=Fraction(tenths, 10) * CM)
    with localcontext() as context:
        context.prec = 60
        root = Fraction(Decimal(2).sqrt())
    crosses = stitches * 2 * (1 + root) * Fraction("2.54") / count * plies
    metres = sharing * (crosses + 2 * Fraction(tenths, 10)) * (1 + waste) / 100
    found = skeins(asked, count, plies, waste, length, sharing)
    assert found == ceil(metres * 10_000 / length)


def test_lines_alone_take_thread_and_nothing_irrational():
    """Worked by hand: 400 cm in front and as much behind are 8 m, a sixth of a skein."""
    asked = Charted("#000000", 0, backstitch=Fraction(400) * CM)
    takes = (Fraction(14), 2, Fraction(0), USUAL_SKEIN)
    assert skeins(asked, *takes) == 1
    six = asked._replace(backstitch=6 * asked.backstitch)
    assert skeins(six, *takes) == 1
    assert skeins(six._replace(backstitch=six.backstitch + 1), *takes) == 2


@pytest.mark.parametrize(
    ("bound", "up_to", "beyond"),
    [(8, 4, 3), (11, 3, 2), (14, 2, 2), (16, 2, 2), (18, 2, 1), (22, 1, 1)],
)
def test_strands_are_those_of_the_table(bound, up_to, beyond):
    """Common practice, no source: as many up to a count, and from just beyond it."""
    assert strands(Fraction(bound)) == up_to
    assert strands(Fraction(bound) + Fraction(1, 10**9)) == beyond


def test_metres_off_a_skein_are_rounded_up():
    """Two strands of 2740 crosses at 14 are 48.006 m: of six plies 8.001, of three 16.002."""
    asked = Charted("#000000", 2740)
    takes = (asked, Fraction(14), 2, Fraction(0))
    assert metres_off_skein(*takes, 6) == Decimal("8.01")
    assert metres_off_skein(*takes, 3) == Decimal("16.01")
    assert metres_off_skein(asked, Fraction(14), 2, Fraction(1, 2), 6) == Decimal("12.01")
