"""Numbers as people type them: with a point or a comma, spaces, and a per cent sign."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

_SPACES = re.compile(r"(?<=\d)[ \u00a0\u2009\u202f'\u2019](?=\d{3})")
_ONE_MARK = re.compile(r"([1-9]\d{0,2})[.,](\d{3})")
_GROUPS = re.compile(r"[1-9]\d{0,2}(?:([.,])\d{3})(?:\1\d{3})*")
_BOTH = re.compile(r"([1-9]\d{0,2}(?:[.,]\d{3})+)([.,])(\d+)")
_PLAIN = re.compile(r"(\d+)(?:[.,](\d+))?")


@dataclass(frozen=True)
class TwoReadings:
    """A text that may be two numbers, as ``1,234``."""

    text: str
    readings: tuple[str, str]


def read_number(text: str) -> str | TwoReadings:
    """Return a number with a point for its decimals, whatever marks it was typed with.

    What is no number is returned as it is, for the brief to judge. One mark before exactly three
    digits may part thousands or decimals: both readings are returned.
    """
    text = _SPACES.sub("", text.strip())
    if found := _ONE_MARK.fullmatch(text):
        return TwoReadings(text, (found[1] + found[2], f"{found[1]}.{found[2]}"))
    if _GROUPS.fullmatch(text):
        return re.sub("[.,]", "", text)
    if (found := _BOTH.fullmatch(text)) and found[2] not in found[1]:
        return f"{re.sub('[.,]', '', found[1])}.{found[3]}"
    if found := _PLAIN.fullmatch(text):
        return f"{found[1]}.{found[2]}" if found[2] else found[1]
    return text


def read_rate(text: str) -> str:
    """Return a rate as a share of 1, typed in per cent."""
    number = read_number(text.strip().removesuffix("%"))
    # Of a rate nobody types thousands.
    plain = number.readings[1] if isinstance(number, TwoReadings) else number
    if not re.fullmatch(r"\d+(\.\d+)?", plain):
        return text.strip()
    return format((Decimal(plain) / 100).normalize(), "f")


def read_pair(text: str) -> list[str] | str:
    """Return two numbers that stand beside each other, as ``20 × 25``."""
    sides = [side for side in re.split(r"[x×*;]| by ", text.strip()) if side.strip()]
    if len(sides) == 1:
        sides = sides[0].split()
    numbers = [read_number(side) for side in sides]
    return [n.readings[1] if isinstance(n, TwoReadings) else n for n in numbers]
