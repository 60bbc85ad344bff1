"""Money in whole minor units of a currency (ISO 4217)."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from functools import cache

from iso4217 import Currency

from kitsolver.craft.lengths import CM

# No currency of ISO 4217 has more decimals (CLF and UYW have four), so prices that are read
# before the currency is known are whole in this unit.
MOST_DECIMALS = 4


@cache
def exponent(currency: str) -> int:
    """Return the number of decimals of a currency, ISO 4217.

    Raises
    ------
    KeyError
        If `currency` is no alphabetic code of the standard, or has no minor unit (gold, say).
    """
    try:
        digits = Currency(currency).exponent
    except ValueError:
        raise KeyError(currency) from None
    if digits is None:
        raise KeyError(currency)
    return int(digits)


def held_per_minor(currency: str) -> int:
    """Return how many of the units in which shelves hold prices make a minor unit."""
    return int(10 ** (MOST_DECIMALS - exponent(currency)))


def uneven_step(price: int, step: int, currency: str) -> bool:
    """Tell whether a step off the roll comes to no whole minor units.

    Parameters
    ----------
    price : int
        Of 10 cm, as shelves hold it.
    step : int
        In length units.
    """
    return price * step % (10 * CM * held_per_minor(currency)) != 0


def to_minor(amount: Decimal, currency: str) -> int:
    """Return `amount` in whole minor units.

    Raises
    ------
    ValueError
        If `amount` is finer than the currency.
    """
    minor = Fraction(amount) * 10 ** exponent(currency)
    if minor.denominator != 1:
        raise ValueError(amount)
    return int(minor)


def to_decimal(minor: int, currency: str) -> Decimal:
    """Return minor units as a decimal number, with all decimals of the currency."""
    return Decimal(minor).scaleb(-exponent(currency))


def to_text(minor: int, currency: str) -> str:
    """Return minor units as a decimal string, for example 1234 in EUR as ``"12.34"``."""
    digits = exponent(currency)
    sign, whole = ("-" if minor < 0 else ""), abs(minor)
    if digits == 0:
        return f"{sign}{whole}"
    return f"{sign}{whole // 10**digits}.{whole % 10**digits:0{digits}d}"
