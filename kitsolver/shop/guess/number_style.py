"""How a source writes numbers: its decimals, its thousands, and what stands beside the digits."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import NamedTuple

_SPACES = " \u00a0\u202f"
_DIGITS = rf"[0-9]+(?:[.,'’{_SPACES}][0-9]+)*"
_CELL = re.compile(rf"(?P<before>[^\W\d_]*[^\w\s-]?)\s*(?P<digits>{_DIGITS})\s*(?P<after>[^\d]*)")
# A longer text beside a number is a sentence and no unit.
_LONGEST_BESIDE = 12
# A column shows how numbers are written if this share of its cells are numbers.
_MOSTLY = 0.8


class Written(NamedTuple):
    """A number as a cell writes it.

    Parameters
    ----------
    value : Decimal
        The number.
    before, after : str
        What stands beside it.
    """

    value: Decimal
    before: str
    after: str

    @property
    def beside(self) -> tuple[str, ...]:
        """What stands beside the number, on either side."""
        return tuple(filter(None, (self.before, self.after)))


@dataclass(frozen=True)
class NumberStyle:
    """How a source writes numbers.

    Parameters
    ----------
    comma : bool
        Whether decimals stand after a comma.
    thousands : str
        What parts thousands; empty if nothing does.
    votes : tuple of int
        How many cells have decimals after a comma, and how many after a point.
    samples : tuple of str
        Cells that show it.
    """

    comma: bool = False
    thousands: str = ""
    votes: tuple[int, int] = (0, 0)
    samples: tuple[str, ...] = ()

    def read(self, text: str) -> Written | None:
        """Return the number of a cell, or None if it is none."""
        found = _CELL.fullmatch(text)
        if not found or max(len(found["before"]), len(found["after"])) > _LONGEST_BESIDE:
            return None
        digits = found["digits"]
        for space in _SPACES:
            digits = digits.replace(space, " ")
        if self.thousands:
            digits = digits.replace(self.thousands, "")
        if self.comma:
            digits = digits.replace(",", ".")
        if not re.fullmatch(r"[0-9]+(?:\.[0-9]+)?", digits):
            return None
        return Written(Decimal(digits), found["before"], found["after"].strip())


@dataclass
class _Votes:
    """What the cells of a column show of how its numbers are written."""

    decimals: Counter[str] = field(default_factory=Counter)
    thousands: Counter[str] = field(default_factory=Counter)
    # A mark before three digits, which may be either.
    either: Counter[str] = field(default_factory=Counter)
    samples: list[str] = field(default_factory=list)

    def count(self, text: str) -> bool:
        """Count a cell, and return whether it is a number."""
        found = _CELL.fullmatch(text)
        if not found or max(len(found["before"]), len(found["after"])) > _LONGEST_BESIDE:
            return False
        digits = re.sub(f"[{_SPACES}]", " ", found["digits"])
        marks = re.findall(r"[^0-9]", digits)
        groups = re.split(r"[^0-9]", digits)
        if not marks:
            return True
        *before, last = marks
        of_three = all(len(group) == 3 for group in groups[1:])
        if of_three and (last not in ".," or last in before):
            self.thousands[last] += 1
        elif of_three and not before:
            self.either[last] += 1
        elif last in ".," and last not in before:
            self.decimals[last] += 1
            self.thousands.update(before)
            self.samples.append(text)
        return True


def number_style(columns: Iterable[Sequence[str]]) -> NumberStyle:
    """Return how numbers are written in the columns of a source.

    A mark before one, two or four digits parts decimals; one that occurs twice in a number, or
    before another mark, parts thousands. A mark before three digits may be either, and is taken
    for thousands where decimals have another mark.

    Parameters
    ----------
    columns : iterable of sequences of str
        The distinct cells of each column. Those that are mostly no numbers do not count.
    """
    total = _Votes()
    comma = False
    for texts in columns:
        votes = _Votes()
        numbers = sum(map(votes.count, texts))
        if numbers < _MOSTLY * len(texts):
            continue
        comma = comma or votes.decimals[","] > votes.decimals["."]
        for mine, theirs in (
            (total.decimals, votes.decimals),
            (total.thousands, votes.thousands),
            (total.either, votes.either),
        ):
            mine.update(theirs)
        total.samples += votes.samples
    comma = comma or (not total.decimals and total.thousands["."] > total.thousands[","])
    decimal, other = (",", ".") if comma else (".", ",")
    apart = [mark for mark, _ in total.thousands.most_common() if mark != decimal]
    if not apart and total.either[other]:
        apart = [other]
    return NumberStyle(
        comma,
        apart[0] if apart else "",
        (total.decimals[","], total.decimals["."]),
        tuple(text for text in dict.fromkeys(total.samples) if decimal in text)[:3],
    )


def is_currency(text: str) -> bool:
    """Tell whether a text beside a number is a currency's sign or code."""
    from iso4217 import Currency

    if len(text) == 1:
        return unicodedata.category(text) == "Sc"
    return text.upper() in {currency.code for currency in Currency}
