"""What the lines of the kit come to in a column, or their number, is within the brief's limits."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import reduce
from math import ceil, floor, gcd, lcm
from typing import TYPE_CHECKING, Any

import numpy as np

from kitsolver.brief.brief import Brief
from kitsolver.brief.meeting import meeting
from kitsolver.brief.own_rules import Limit
from kitsolver.solve.rules.rule import Added, Dominance, Ints, Mask, Rows, Rule, Table

if TYPE_CHECKING:
    from kitsolver.solve.candidates.candidates import Candidates
    from kitsolver.solve.model.kit_model import KitModel
    from kitsolver.solve.model.timed_model import Linear


def measure_of(limit: Limit) -> str:
    """Return the name under which a candidate says what a unit, or a line, of it counts."""
    return f"limits: {limit.name}"


def bounds_of(limit: Limit, brief: Brief) -> tuple[Fraction | None, Fraction | None]:
    """Return the least and the most that a limit's sum may be for the whole order."""
    sides = (limit.least, limit.most)
    least, most = (None if x is None else Fraction(limit.figure(x, brief.kits)) for x in sides)
    return least, most


class Limits(Rule):
    """`[[limits]]`: sums of units times cells, or numbers of lines, have a least or a most."""

    name = "limits"
    sentence = "What the lines come to is within the limits that the brief sets."

    def columns(self, brief: Brief) -> tuple[str, ...]:
        """Read what each row counts for each limit."""
        return tuple(measure_of(limit) for limit in brief.limits)

    def reads(self, rows: Rows) -> Table:
        """Return what each row counts for each limit, exactly; nothing where it is not meant."""
        return {measure_of(limit): _counts(limit, rows) for limit in rows.brief.limits}

    def admits(self, rows: Rows) -> Mask | None:
        """Bar rows that a limit adds up and that do not say how much they are."""
        barred = np.zeros(len(rows), dtype=bool)
        for limit in rows.brief.limits:
            if limit.column is not None and limit.blank != 0 and limit.where.names(rows.category):
                blank = rows.as_written.numbers(limit.column).where(lambda said: not said)
                barred |= blank & meeting(rows.as_written, limit.where)
        return ~barred

    def dominance(self, rows: Rows) -> Dominance:
        """Compare what rows count: less is better for a most, more for a least."""
        equal: list[Ints] = []
        at_least: list[Ints] = []
        cut = rows.category == "fabric" and rows.need
        fixed = not cut or (rows.brief.kits == 1 and not (rows.table["sold_by"] == 1).any())
        for limit in rows.brief.limits:
            counted = rows.table[measure_of(limit)]
            if not counted.any():
                continue
            if limit.column is not None and fixed:
                counted = counted * rows.table["units"].astype(object)
            ranks = np.unique(counted, return_inverse=True)[1].astype(np.int64)
            if limit.least is None:
                at_least.append(-ranks)
            elif not fixed and limit.column is not None:
                # Fewer units of a larger piece may come to less than is asked for.
                equal.append(np.arange(len(rows), dtype=np.int64))
            elif limit.most is None:
                at_least.append(ranks)
            else:
                equal.append(ranks)
        return Dominance(tuple(equal), tuple(at_least))

    def ties(self, candidates: Candidates) -> bool:
        """Tell whether sums are limited beside the goods total."""
        return bool(candidates.brief.limits)

    def constrain(self, model: KitModel) -> None:
        """Limit the sums over the lines, in whole numbers as small as they can be.

        Solvers take sums that are short by a millionth of the numbers in them, so that limits are
        rounded to the next sum that lines can come to, in place of making the numbers large.
        """
        brief = model.candidates.brief
        for limit in brief.limits:
            terms = list(_terms(limit, model))
            least, most = bounds_of(limit, brief)
            scale = _scale([number for number, _ in terms])
            total = model.total(int(number * scale) * taken for number, taken in terms)
            if least is not None:
                model.add(self, total >= ceil(least * scale))
            if most is not None:
                model.add(self, total <= floor(most * scale))

    def holds(self, added: Added, candidates: Candidates) -> bool:
        """Hold every sum against its limit."""
        for limit in candidates.brief.limits:
            least, most = bounds_of(limit, candidates.brief)
            total = sum_of(limit, added)
            if (least is not None and total < least) or (most is not None and total > most):
                return False
        return True


def sum_of(limit: Limit, added: Added) -> Fraction:
    """Return what the lines of a selection come to for a limit."""
    measure, total = measure_of(limit), Fraction(0)
    for sku, units in added.units.items():
        total += added.rows[sku].measure(measure) * (1 if limit.column is None else units)
    return total


def _counts(limit: Limit, rows: Rows) -> Any:
    """Return what a unit, or a line, of each row counts for a limit."""
    if not limit.where.names(rows.category):
        return np.zeros(len(rows), dtype=object)
    meets = meeting(rows.as_written, limit.where)
    if limit.column is None:
        return meets.astype(int).astype(object)
    said = rows.as_written.numbers(limit.column)
    values = np.empty(len(said.distinct), dtype=object)
    values[:] = [_plain(each[0]) if each else 0 for each in said.distinct]
    return np.where(meets, values[said.codes], 0)


def _plain(number: Fraction) -> int | Fraction:
    return number.numerator if number.denominator == 1 else number


def _terms(limit: Limit, model: KitModel) -> Iterator[tuple[Fraction, Linear]]:
    for (sku, units), taken in model.lines.items():
        counted = model.rows[sku, units].measure(measure_of(limit))
        if counted:
            yield Fraction(counted) * (1 if limit.column is None else units), taken


def _scale(numbers: list[Fraction]) -> Fraction:
    """Return what makes numbers whole, and as small as whole numbers can be."""
    denominator = lcm(*(number.denominator for number in numbers))
    common = reduce(gcd, (int(number * denominator) for number in numbers), 0)
    return Fraction(denominator, common or 1)
