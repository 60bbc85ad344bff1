"""Money in whole minor units, there and back."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitsolver.shop.money import MOST_DECIMALS, exponent, to_minor, to_text

# One of each number of decimals there is (ISO 4217).
CURRENCIES = {"JPY": 0, "EUR": 2, "KWD": 3, "CLF": 4}


@pytest.mark.parametrize(
    ("minor", "currency", "text"),
    [
        (1234, "EUR", "12.34"),
        (5, "EUR", "0.05"),
        (0, "EUR", "0.00"),
        (-5, "EUR", "-0.05"),
        (-1234, "JPY", "-1234"),
        (1234, "JPY", "1234"),
        (1234, "KWD", "1.234"),
        (1, "CLF", "0.0001"),
    ],
)
def test_text_has_all_the_decimals_of_the_currency(minor, currency, text):
    assert to_text(minor, currency) == text


@given(minor=st.integers(-(10**18), 10**18), currency=st.sampled_from(list(CURRENCIES)))
def test_text_reads_back(minor, currency):
    text = to_text(minor, currency)
    assert to_minor(Decimal(text), currency) == minor
    assert len(text.partition(".")[2]) == CURRENCIES[currency]


@given(amount=st.decimals(0, 10**9, places=5), currency=st.sampled_from(list(CURRENCIES)))
def test_a_sum_is_whole_in_minor_units_or_refused(amount, currency):
    minor = amount.scaleb(CURRENCIES[currency])
    if minor == minor.to_integral_value():
        assert to_minor(amount, currency) == minor
    else:
        with pytest.raises(ValueError):
            to_minor(amount, currency)


def test_zeros_behind_the_point_make_no_sum_finer():
    assert to_minor(Decimal("30.1000000"), "EUR") == 3010
    assert to_minor(Decimal("3E+2"), "JPY") == 300


def test_no_currency_has_more_decimals_than_prices_are_held_in():
    assert {code: exponent(code) for code in CURRENCIES} == CURRENCIES
    assert max(CURRENCIES.values()) == MOST_DECIMALS
