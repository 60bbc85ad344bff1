"""The audit's own reading of conditions: what a row, or a thing at home, says in a column.

Shares nothing with the solver.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from kitsolver.brief.conditions import Conditions
from kitsolver.solve.audit.evidence import Evidence, Row, Verdict, detail_of

_BLANK = {
    "serves": "1",
    "skein_m": "8",
    "strands": "6",
    "smallest_cm": "10",
    "step_cm": "10",
    "kind": "cotton",
    "download": "no",
    "sold_by": "unit",
}
# The categories whose rows use a column that has a default; every category, if not named.
_USERS = {
    "skein_m": "thread",
    "strands": "thread",
    "kind": "thread",
    "smallest_cm": "fabric",
    "step_cm": "fabric",
    "sold_by": "fabric",
}
_INCHES_IN_A_CM = Fraction(100, 254)


@dataclass(frozen=True)
class Thing:
    """A line of the kit, or what is described of a thing at home.

    Parameters
    ----------
    name : str
        Its sku, or what it is called.
    cells : mapping of str to str
        What is known of it, by column.
    whole : bool
        Whether that is a whole row; else what is not there is not known.
    """

    name: str
    category: str
    cells: Row
    whole: bool = True

    def knows(self, column: str) -> bool:
        """Tell whether it is known what the thing says in a column."""
        if self.whole or column in self.cells:
            return True
        if self.category == "chart" and column in ("stitches", "shades"):
            return "colours" in self.cells
        return _in_other_unit(column) in self.cells

    def numbers(self, column: str, tax_rate: Fraction, *, everywhere: bool) -> list[Fraction]:
        """Return the numbers of a cell; with `everywhere` a default counts in any category."""
        cell = self.cells.get(column, "")
        if cell:
            return [Fraction(part) for part in _parts(cell) if _isnumber(part)]
        other = _in_other_unit(column)
        if other and self.cells.get(other):
            share = _INCHES_IN_A_CM if column.endswith("_in") else 1 / _INCHES_IN_A_CM
            return [Fraction(self.cells[other]) * share]
        if column == "tax_rate":
            return [tax_rate]
        default = self.default(column, everywhere=everywhere)
        return [Fraction(default)] if _isnumber(default) else []

    def default(self, column: str, *, everywhere: bool) -> str:
        """Return what a blank cell means; blank if nothing."""
        meant = everywhere or _USERS.get(column, self.category) == self.category
        return _BLANK.get(column, "") if meant else ""


def meets(thing: Thing, asked: Conditions, tax_rate: Fraction) -> bool | None:
    """Tell whether a thing meets every condition; None if that hangs on what is not known."""
    said = dict(_each(thing, asked, tax_rate))
    known = [good for column, good in said.items() if thing.knows(column[0])]
    if not all(known):
        return False
    return True if len(known) == len(said) else None


def _each(
    thing: Thing, asked: Conditions, tax_rate: Fraction
) -> Iterator[tuple[tuple[str, str], bool]]:
    """Yield the column and the key of every condition, and whether it is met."""
    row = thing.cells
    words = {word.strip() for word in row.get("tags", "").split(";")}
    if asked.tags_none:
        yield ("tags", "tags_none"), not words & set(asked.tags_none)
    if asked.tags_any:
        yield ("tags", "tags_any"), bool(words & set(asked.tags_any))
    if asked.max_price is not None:
        yield ("price", "max_price"), Decimal(row.get("price", 0)) <= asked.max_price
    if asked.min_quality is not None:
        yield ("quality", "min_quality"), Decimal(row.get("quality", 0)) >= asked.min_quality
    for column, allowed in asked.only.items():
        yield (column, "only"), _allowed(row, column, allowed)
    for column in {*asked.at_least, *asked.at_most}:
        low, high = asked.at_least.get(column), asked.at_most.get(column)
        numbers = thing.numbers(column, tax_rate, everywhere=True)
        between = any(
            (low is None or low <= number) and (high is None or number <= high)
            for number in numbers
        )
        endless = column == "stock" and not numbers and high is None
        yield (column, "range"), between or endless


def conditions(seen: Evidence) -> Verdict:
    """Hold every row against the conditions of the brief."""
    wrong = []
    tax_rate, whole = Fraction(seen.brief.till.tax_rate), seen.brief.all
    for line in seen.claim.lines:
        row = seen.rows[line.sku]
        words = {word.strip() for word in row.get("tags", "").split(";")}
        good = set(whole.tags_all) <= words and not words & set(whole.tags_none)
        asked: Conditions | None = seen.brief.extras.conditions.get(line.category)
        if line.role == "need":
            asked = seen.brief.need(line.category)
        if asked is not None:
            good &= bool(meets(Thing(line.sku, line.category, row), asked, tax_rate))
        if not good:
            wrong.append(line.sku)
    return not wrong, detail_of(wrong, "every condition of the brief is met", "not met by")


def _in_other_unit(column: str) -> str:
    """Return the column that gives the same length in the other unit; blank if there is none."""
    name, _, unit = column.rpartition("_")
    return f"{name}_{'in' if unit == 'cm' else 'cm'}" if name in _LENGTHS else ""


_LENGTHS = ("width", "height", "diameter")


def _allowed(row: Row, column: str, allowed: tuple[object, ...]) -> bool:
    cell = row.get(column, "") or _BLANK.get(column, "")
    values = [cell, *(part.strip() for part in cell.split(";"))]
    if column == "colours":
        values = [value.split(":")[0].strip().lower() for value in values]
    for wanted in allowed:
        text = str(wanted).lower() if column == "colours" else str(wanted)
        if text in values:
            return True
        if _isnumber(text) and any(
            _isnumber(value) and Decimal(value) == Decimal(text) for value in values
        ):
            return True
    return False


def _isnumber(text: str) -> bool:
    return text.replace(".", "", 1).isascii() and text.replace(".", "", 1).isdigit()


def _parts(cell: str) -> list[str]:
    return [part.strip() for part in cell.split(";")]
