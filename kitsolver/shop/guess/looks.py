"""Whether the cells of a column look like those of one of ours."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from stdnum import ean

from kitsolver.shop.columns.cells import GTIN_DIGITS
from kitsolver.shop.guess.number_style import NumberStyle, is_currency
from kitsolver.shop.guess.source_column import SourceColumn
from kitsolver.shop.guess.words import matches, says

LENGTH_UNITS = ("mm", "cm", "m", "in")
# Other ways to write inches: the map says which unit they mean.
INCHES = ('"', "″", "''", "inch", "inches", "zoll", "pouces", "duim", "pulgadas", "pollici")
STARS = "★⭐*✶✭"

_SHADE = re.compile(r"#?[0-9a-fA-F]{6}")
_ENTRY = re.compile(r"#?[0-9a-fA-F]{6}(?::[0-9.]+){0,2}")
_SIZES = re.compile(r"[^\W\d]{0,6}\.?\s*([0-9]{2})(?:\s*;\s*([0-9]{2}))*")
_OF = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*/\s*([0-9]+)")
_TIMES = re.compile(r"\s*[x×*]\s*")
_MOST_SCALE = 100
# What is as much or more is no sum of money.
_MOST_SUM = 10**15

Looks = Callable[[str], object]


@dataclass(frozen=True)
class Look:
    """How the cells of a column of ours look.

    Parameters
    ----------
    looks : callable
        Tells whether a cell looks so.
    means : str
        What the cells are, for a reason: "98 of 98 cells are …".
    """

    looks: Looks
    means: str


class CellLooks:
    """How the cells of each of our columns look in a source that writes numbers in its own way.

    Parameters
    ----------
    style : NumberStyle
        How the source writes numbers.

    Attributes
    ----------
    style : NumberStyle
        The same.
    by_column : mapping of str to Look
        For each column of ours, and ``size``, how its cells look.
    """

    def __init__(self, style: NumberStyle) -> None:
        self.style = style
        number, whole, text = self.number, self.whole, has_letters
        length = self.length
        self.by_column: Mapping[str, Look] = {
            "sku": Look(is_short, "short texts"),
            "name": Look(text, "texts"),
            "category": Look(text, "texts"),
            "price": Look(self.money, "sums of money"),
            "trade_cost": Look(self.money, "sums of money"),
            "quality": Look(self.quality, "figures of a scale"),
            "stock": Look(whole(0, 10**9), "whole numbers"),
            "serves": Look(whole(1, 500), "whole numbers"),
            "tags": Look(text, "texts"),
            "gtin": Look(is_gtin, "numbers with a right check digit"),
            "stitches_wide": Look(whole(5, 5_000), "whole numbers, as stitches are"),
            "stitches_high": Look(whole(5, 5_000), "whole numbers, as stitches are"),
            "colours": Look(is_colours, "colours"),
            "colour_kinds": Look(text, "texts"),
            "colour_strands": Look(re.compile(r"\d+(;\d+)*").fullmatch, "whole numbers"),
            "weave": Look(is_weave, "weaves"),
            "count": Look(number(6, 55), "numbers from 6 to 55, as counts are"),
            "width_cm": Look(length, "lengths"),
            "height_cm": Look(length, "lengths"),
            "skein_m": Look(length, "lengths"),
            "left_m": Look(length, "lengths"),
            "strands": Look(whole(1, 24), "whole numbers up to 24, as strands are"),
            "kind": Look(text, "texts"),
            "needle_sizes": Look(is_needle_sizes, "sizes from 13 to 28, as needles have"),
            "diameter_cm": Look(length, "lengths"),
            "opening_cm": Look(self.opening, "openings"),
            "download": Look(is_answer, "words for yes and no"),
            "size": Look(self.size, "two lengths in one cell"),
        }

    def number(self, least: int, most: int) -> Looks:
        """Return a test for numbers within bounds."""

        def looks(text: str) -> bool:
            found = self.style.read(text)
            return found is not None and least <= found.value <= most

        return looks

    def whole(self, least: int, most: int) -> Looks:
        """Return a test for whole numbers within bounds."""
        within = self.number(least, most)

        def looks(text: str) -> bool:
            found = self.style.read(text)
            return found is not None and found.value == int(found.value) and bool(within(text))

        return looks

    def money(self, text: str) -> bool:
        """Tell whether a cell is a sum of money."""
        found = self.style.read(text)
        if found is None or any(not is_currency(beside) for beside in found.beside):
            return False
        return found.value < _MOST_SUM and found.value == round(found.value, 4)

    def quality(self, text: str) -> bool:
        """Tell whether a cell is a figure of a scale: a number, stars, or "4/5"."""
        if stars_of(text) or scale_of(text):
            return True
        found = self.style.read(text)
        return found is not None and found.value <= _MOST_SCALE and not found.beside

    def length(self, text: str) -> bool:
        """Tell whether a cell is a length, perhaps with its unit."""
        found = self.style.read(text)
        if found is None or found.value <= 0:
            return False
        return not found.before and (not found.after or unit_of(found.after) is not None)

    def opening(self, text: str) -> bool:
        """Tell whether a cell is an aperture: one length, or two."""
        return self.size(text) or self.length(text)

    def size(self, text: str) -> bool:
        """Tell whether a cell holds two lengths."""
        return self.sides(text) is not None

    def sides(self, text: str) -> tuple[Decimal, Decimal, str] | None:
        """Return the two numbers of a cell, and what stands beside them; None if it has not two."""
        parts = _TIMES.split(text)
        if len(parts) != 2:
            return None
        first, second = map(self.style.read, parts)
        if first is None or second is None or first.before or second.before:
            return None
        return first.value, second.value, second.after or first.after


def unit_of(beside: str) -> str | None:
    """Return the unit of length that stands beside a number, or None."""
    plain = beside.casefold().strip().rstrip(".") or beside
    return "in" if plain in INCHES else plain if plain in LENGTH_UNITS else None


def stars_of(text: str) -> str:
    """Return the sign that a cell counts quality by, or nothing."""
    signs = set(text.replace(" ", "").replace("☆", ""))
    return signs.pop() if len(signs) == 1 and signs <= set(STARS) else ""


def scale_of(text: str) -> int:
    """Return the second figure of a cell such as "4/5"; 0 if it is none."""
    found = _OF.fullmatch(text)
    return int(found[2]) if found else 0


def is_colours(text: str) -> bool:
    """Tell whether a cell holds colours, each with or without its ``#``, perhaps with stitches."""
    return all(_ENTRY.fullmatch(part.strip()) for part in text.split(";"))


def is_bare(text: str) -> bool:
    """Tell whether the colours of a cell lack their ``#``."""
    return is_colours(text) and "#" not in text


def is_gtin(text: str) -> bool:
    """Tell whether a cell is a GTIN with the right check digit."""
    digits = text.isascii() and text.isdigit() and len(text) in GTIN_DIGITS
    return digits and ean.calc_check_digit(text[:-1]) == text[-1]


def is_needle_sizes(text: str) -> bool:
    """Tell whether a cell lists sizes of tapestry needles."""
    found = _SIZES.fullmatch(text)
    return bool(found) and all(13 <= int(size) <= 28 for size in re.findall(r"[0-9]{2}", text))


def is_weave(text: str) -> bool:
    """Tell whether a cell names a weave."""
    return bool(matches("weaves", text))


def is_answer(text: str) -> bool:
    """Tell whether a cell says yes or no."""
    return says("answers", "yes", text) or says("answers", "no", text)


def has_letters(text: str) -> bool:
    """Tell whether a cell is a text rather than a number."""
    return any(sign.isalpha() for sign in text) and not _SHADE.fullmatch(text)


def has_digits(text: str) -> bool:
    """Tell whether a cell holds a figure."""
    return any(sign.isdigit() for sign in text)


def is_short(text: str) -> bool:
    """Tell whether a cell could be a sku."""
    return len(text) <= 40 and text.count(" ") <= 2


def is_code(text: str) -> bool:
    """Tell whether a cell is a code rather than a name."""
    coded = any(sign.isdigit() for sign in text) or text.isupper() or "-" in text or "_" in text
    return len(text) <= 24 and text.count(" ") <= 1 and coded


def is_unique(column: SourceColumn) -> bool:
    """Tell whether no two rows of a column have the same cell."""
    return bool(column.texts) and max(column.counts) == 1
