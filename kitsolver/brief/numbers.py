"""The values of a brief: numbers, rates, sums and colours, read exactly as they are written."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, Field, PlainSerializer, StringConstraints
from pydantic_core import PydanticCustomError

from kitsolver.brief.written_numbers import miswritten
from kitsolver.shop.money import exponent

_NUMBER = re.compile(r"[0-9]+(\.[0-9]+)?")
_HEX = re.compile(r"#[0-9a-f]{6}")
# A greater number is a slip of the keyboard, and sums with it would not fit into 64 bits.
_MOST = Decimal(10) ** 12
_MOST_DIGITS = 40


def refuse(sentence: str, kind: str = "bad-value") -> PydanticCustomError:
    """Return an error that becomes the finding `kind` with `sentence` as its detail."""
    return PydanticCustomError(kind, "{sentence}", {"sentence": sentence})


def read_number(value: Any) -> Decimal:
    """Return a number of a brief, exactly as it is written.

    Raises
    ------
    PydanticCustomError
        If it is anything else.
    """
    if isinstance(value, bool) or not isinstance(value, (str, int, float, Decimal)):
        raise refuse("is not a number")
    text = value.strip() if isinstance(value, str) else _digits(value)
    if text.startswith("-"):
        raise refuse("is below zero")
    if not _NUMBER.fullmatch(text):
        if (told := miswritten(text)) is not None:
            code, mend = told
            raise refuse(mend, code)
        raise refuse("is not a number written in digits with an optional point")
    if Decimal(text) > _MOST:
        raise refuse("is too large")
    return Decimal(text)


def is_number(text: str) -> bool:
    """Tell whether a cell is a number written in digits with an optional point."""
    return bool(_NUMBER.fullmatch(text)) and len(text) <= _MOST_DIGITS


def _digits(value: float | Decimal) -> str:
    """Return a number as digits; a float stands for the shortest decimal it is written as."""
    number = Decimal(str(value)) if isinstance(value, float) else Decimal(value)
    # All digits of a number like 1e-999999999 would fill the memory.
    if number.is_finite() and abs(number.adjusted()) > _MOST_DIGITS:
        raise refuse("is too large" if number.adjusted() > 0 else "is too fine")
    return format(number, "f")


def _above_zero(value: Decimal) -> Decimal:
    if value == 0:
        raise refuse("is not above zero")
    return value


def _rate(value: Decimal) -> Decimal:
    if value > 1:
        raise refuse("is outside 0 to 1", "impossible-rate")
    return value


def _below_one(value: Decimal) -> Decimal:
    if value >= 1:
        raise refuse("is not from 0 to below 1", "impossible-rate")
    return value


def read_hex(value: Any) -> str:
    """Return a colour as ``#rrggbb`` in lower case.

    Raises
    ------
    PydanticCustomError
        If it is anything else.
    """
    text = value.strip().lower() if isinstance(value, str) else ""
    if not _HEX.fullmatch(text):
        raise refuse("is not a colour written as #rrggbb")
    return text


def _currency(value: str) -> str:
    try:
        exponent(value)
    except KeyError:
        raise refuse("", "unknown-currency") from None
    return value


def _plain(value: Decimal) -> str:
    return format(value, "f")


# Numbers are dumped as text, so that reading a dumped brief gives the same brief.
Number = Annotated[Decimal, BeforeValidator(read_number), PlainSerializer(_plain, when_used="json")]
Positive = Annotated[Number, AfterValidator(_above_zero)]
Rate = Annotated[Number, AfterValidator(_rate)]
DiscountRate = Annotated[Number, AfterValidator(_below_one)]
Money = Number
Whole = Annotated[int, Field(strict=True, ge=0, le=10**9)]
Counted = Annotated[int, Field(strict=True, ge=1, le=10**9)]
Flag = Annotated[bool, Field(strict=True)]
Word = Annotated[str, StringConstraints(strict=True, strip_whitespace=True, min_length=1)]
Currency = Annotated[Word, AfterValidator(_currency)]
Hex = Annotated[str, BeforeValidator(read_hex)]


def whole(value: Any) -> int:
    """Return a whole number of at least 1 written as a TOML number or as digits.

    Raises
    ------
    PydanticCustomError
        If it is anything else.
    """
    number = read_number(value)
    if number != number.to_integral_value() or number < 1:
        raise refuse("is not a whole number of at least 1")
    return int(number)


def as_list(value: Any) -> Any:
    """Return lists as they are, text parted at ``;``, and anything else as its only entry."""
    if isinstance(value, (list, tuple)):
        return list(value)
    if isinstance(value, str):
        return [part.strip() for part in value.split(";")]
    return [value]
