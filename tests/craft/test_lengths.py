"""Lengths in whole units, and shown."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitsolver.craft.lengths import CM, INCH, MOST_DECIMALS, rounded, to_units

UNITS = st.sampled_from([CM, INCH])


@given(length=st.decimals(0, 10**6, places=MOST_DECIMALS), unit=UNITS)
def test_a_length_of_six_decimals_is_whole_in_either_unit(length, unit):
    assert Fraction(to_units(length, unit), unit) == Fraction(length)


def test_no_more_decimals_are_whole_in_both_units():
    assert (CM, INCH) == (100 * 10**MOST_DECIMALS, 254 * 10**MOST_DECIMALS)
    assert INCH % 10**MOST_DECIMALS == 0 < INCH % 10 ** (MOST_DECIMALS + 1)


@pytest.mark.parametrize("unit", [CM, INCH])
def test_a_finer_length_than_the_unit_is_refused(unit):
    with pytest.raises(ValueError):
        to_units(Decimal("0.000000001"), unit)


@pytest.mark.parametrize(
    ("length", "decimals", "shown"),
    [
        (Fraction(5, 1000), 2, "0.01"),
        (Fraction(4999, 10**6), 2, "0.00"),
        (Fraction(15, 1000), 2, "0.02"),
        (Fraction(25, 1000), 2, "0.03"),
        (Fraction(1, 3), 2, "0.33"),
        (Fraction(2, 3), 2, "0.67"),
        (Fraction(999_995, 10**6), 2, "1.00"),
        (Fraction(7), 2, "7.00"),
        (Fraction(1, 2), 0, "1"),
        (Fraction(5, 2), 0, "3"),
    ],
)
@pytest.mark.parametrize("unit", [CM, INCH])
def test_ties_are_rounded_up(unit, length, decimals, shown):
    assert str(rounded(length * unit, unit, decimals)) == shown


@given(length=st.fractions(0, 10**6), unit=UNITS, decimals=st.integers(0, 6))
def test_what_is_shown_is_the_nearest_and_has_its_decimals(length, unit, decimals):
    shown = rounded(length * unit, unit, decimals)
    apart = Fraction(shown) - length
    half = Fraction(1, 2 * 10**decimals)
    assert -half < apart <= half
    assert -shown.as_tuple().exponent == decimals
