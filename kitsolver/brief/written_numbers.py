"""Numbers as people write them that a brief does not take: with a comma, or in per cent."""

from __future__ import annotations

import re
from decimal import Decimal

_COMMA = re.compile(r"[0-9.'\u2019 ]*[0-9],[0-9]+")
_COMMA_FOR_THOUSANDS = re.compile(r"[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]+)?")
_PERCENT = re.compile(r"([0-9]+(?:[.,][0-9]+)?) ?%")
_MOST_LENGTH = 40


def miswritten(text: str) -> tuple[str, str] | None:
    """Return the code of the finding for a number with a comma or in per cent, and how to write it.

    None if the text is neither. A comma with three digits behind it may part thousands or decimals,
    so both ways are told.
    """
    if len(text) > _MOST_LENGTH:
        return None
    if percent := _PERCENT.fullmatch(text):
        share = Decimal(percent[1].replace(",", ".")) / 100
        return "number-in-per-cent", f"{share.normalize():f}"
    ways = []
    if _COMMA_FOR_THOUSANDS.fullmatch(text):
        ways.append(text.replace(",", ""))
    if _COMMA.fullmatch(text):
        whole, _, part = text.partition(",")
        ways.append(f"{re.sub('[^0-9]', '', whole)}.{part}")
    return ("number-with-comma", " or ".join(ways)) if ways else None
