"""Exact numbers out of text, TOML integers and decimals."""

from decimal import Decimal
from fractions import Fraction


def exact(value):
    if isinstance(value, float | bool):
        raise TypeError(f"{value!r} is no exact number")
    return Fraction(Decimal(value))


def ceiling(dividend, divisor):
    return -(-dividend // divisor)


def half_up(value):
    return (value + Fraction(1, 2)).__floor__()


def half_even(value):
    below = value.__floor__()
    rest = value - below
    if rest == Fraction(1, 2):
        return below + below % 2
    return below + (rest > Fraction(1, 2))
