"""How numbers and dates are written on paper, by the language of who reads it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date

# Languages that write a comma before decimals, by their codes (Unicode CLDR, recalled from
# memory).
_COMMA = frozenset(
    (
        *("bg", "cs", "da", "de", "el", "es", "et", "fi", "fr", "hr", "hu", "id", "it", "lt"),
        *("lv", "nb", "nl", "pl", "pt", "ro", "ru", "sk", "sl", "sv", "tr", "uk"),
    )
)
_POINT = re.compile(r"(?<=\d)\.(?=\d)")
# The spaces within a size of two lengths: it should not break over two lines.
_IN_A_SIZE = re.compile(r"(?<=\d) (?=×|cm\b)|(?<=×) (?=\d)")


@dataclass(frozen=True)
class LocaleStyle:
    """A way to write numbers and dates.

    Parameters
    ----------
    comma : bool
        Whether decimals stand after a comma.
    month_first : bool
        Whether a date begins with the month.
    """

    comma: bool = False
    month_first: bool = False

    def shown(self, text: object) -> str:
        """Return a number, or a sentence with numbers, in this style; sizes do not break."""
        said = _IN_A_SIZE.sub("\u00a0", str(text))
        return _POINT.sub(",", said) if self.comma else said

    def day(self, day: date) -> str:
        """Return a date in this style."""
        if self.comma:
            return f"{day.day}.{day.month}.{day.year}"
        month = f"{day:%B}"
        return (
            f"{month} {day.day}, {day.year}"
            if self.month_first
            else f"{day.day} {month} {day.year}"
        )


def style_of(language: str) -> LocaleStyle:
    """Return the style of a language such as ``de`` or ``en-US``, or of several by preference."""
    first = language.partition(",")[0].partition(";")[0].strip().casefold()
    code, _, region = first.partition("-")
    return LocaleStyle(comma=code in _COMMA, month_first=(code, region) == ("en", "us"))
