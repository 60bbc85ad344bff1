from decimal import ROUND_FLOOR, Decimal, localcontext
from fractions import Fraction
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitsolver.craft.part_used import Surd, hundredths, serve_pools

METRE = 10_000


def to_decimal(number):
    return Decimal(number.numerator) / number.denominator


def metres(text):
    return int(Decimal(text) * METRE)


def served(length, home, *, pools=1, skein="8"):
    need = Surd(Fraction(metres(length)))
    return serve_pools(need, metres(skein), pools, metres(home))


def test_the_worked_example_of_twelve_pools():
    # From the specification: 8.8 m a pool, 8 m a skein, 12 pools, 9.6 m at home.
    found = served("8.8", "9.6", pools=12)
    assert found.bought == 12
    assert hundredths(found.used, 1) == Decimal("9.60")


@pytest.mark.parametrize(
    ("length", "home", "pools", "bought", "used"),
    [
        ("3.2", "3.2", 1, 0, "3.20"),
        ("3.2", "3.19", 1, 1, "0.00"),
        ("8", "8", 1, 0, "8.00"),
        ("8", "7.99", 1, 1, "0.00"),
        ("8.8", "0.8", 1, 1, "0.80"),
        ("8.8", "8.79", 1, 1, "0.80"),
        ("8.8", "8.8", 1, 0, "8.80"),
        ("8.8", "20", 1, 0, "8.80"),
        ("8.8", "0", 3, 6, "0.00"),
        ("8.8", "1.7", 3, 4, "1.60"),
        ("8.8", "10.4", 3, 2, "10.40"),
        ("8.8", "10.39", 3, 3, "2.40"),
    ],
)
def test_home_lengths_save_the_fewest_skeins_that_are_bought(length, home, pools, bought, used):
    found = served(length, home, pools=pools)
    assert (found.bought, hundredths(found.used, 1)) == (bought, Decimal(used))


def test_metres_of_full_thread_are_rounded_half_up():
    assert hundredths(Surd(Fraction(6 * 150)), 6) == Decimal("0.02")
    assert hundredths(Surd(Fraction(6 * 149)), 6) == Decimal("0.01")


numbers = st.fractions(-50, 50, max_denominator=40)


@given(numbers, numbers)
def test_a_surd_is_rounded_exactly(rational, root):
    surd = Surd(rational, root)
    with localcontext() as context:
        context.prec = 60
        exact = to_decimal(rational) + to_decimal(root) * Decimal(2).sqrt()
        # Of what is close to a whole number only whole numbers themselves are.
        whole = root == 0 and rational.denominator == 1
        floor = int(rational) if whole else int(exact.to_integral_value(ROUND_FLOOR))
    assert surd.floor() == floor
    assert surd.ceil() == floor + (not whole)


@given(
    st.integers(1, 400), st.integers(0, 300), st.integers(1, 80), st.integers(1, 7),
    st.integers(0, 2000),
)  # fmt: skip
def test_no_fewer_skeins_than_bought_would_do(tenths, root, skein, pools, home):
    """Every number of last parts and of whole skeins that home could serve is tried."""
    length = Surd(Fraction(tenths, 10), Fraction(root, 100))
    skeins = length.times(Fraction(1, skein)).ceil()
    last = tenths / 10 + root / 100 * sqrt(2) - (skeins - 1) * skein
    best = min(
        pools * skeins - parts - whole
        for parts in range(pools + 1)
        for whole in range(pools * skeins - parts + 1)
        if parts * last + whole * skein <= home + 1e-9
    )
    assert serve_pools(length, skein, pools, home).bought == best
