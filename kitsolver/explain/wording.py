"""Words that explanations have in common: sums, sizes, lists and rows."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from kitsolver.brief.brief import Brief
from kitsolver.craft.fit import Size
from kitsolver.craft.lengths import CM, INCH, rounded
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.money import to_text


def sum_text(minor: int, brief: Brief) -> str:
    """Return a sum in minor units with its currency."""
    return f"{to_text(minor, brief.currency)} {brief.currency}"


def order_sum(minor: int, brief: Brief) -> str:
    """Return a sum for the whole order with its currency, and what it is for each head."""
    if brief.heads == 1:
        return sum_text(minor, brief)
    return f"{sum_text(minor, brief)} ({sum_text(-(-minor // brief.heads), brief)} a head)"


def length_text(length: Fraction, brief: Brief) -> str:
    """Return a length in the brief's unit."""
    return f"{_in_unit(length, brief)} {brief.units}"


def size_text(size: Size, brief: Brief) -> str:
    """Return a size in the brief's unit."""
    return f"{_in_unit(size.width, brief)} × {_in_unit(size.height, brief)} {brief.units}"


def _in_unit(length: Fraction, brief: Brief) -> str:
    return f"{rounded(length, CM if brief.units == 'cm' else INCH).normalize():f}"


def count_text(count: Fraction) -> str:
    """Return an effective count."""
    return f"{float(count):g}"


def listed(parts: Sequence[str], last: str = "and") -> str:
    """Return parts of a sentence as one, the last behind a word of its own.

    Two parts of which one has a comma, and three or more, are parted by commas.
    """
    if len(parts) < 2:
        return "".join(parts)
    comma = "," if len(parts) > 2 or any("," in part or " " in part for part in parts) else ""
    return f"{', '.join(parts[:-1])}{comma} {last} {parts[-1]}"


def row_text(sku: str, catalogue: Catalogue) -> str:
    """Return a sku with its row."""
    number = catalogue.row_number(sku)
    if number < 0:
        return f"{sku} (row {-number} of the home list)"
    return f"{sku} (row {number})"


def is_or_are(category: str) -> str:
    """Return what a category's name goes with: scissors are, a needle is."""
    return "are" if category.endswith("s") else "is"


def numbers_text(numbers: Iterable[int]) -> str:
    """Return whole numbers in rising order."""
    return listed([str(number) for number in sorted(numbers)])


def sentence(clause: str) -> str:
    """Return a clause as a sentence."""
    return f"{clause[0].upper()}{clause[1:]}."
