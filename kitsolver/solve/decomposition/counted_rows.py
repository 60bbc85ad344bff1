"""What rows count for a limit, in whole parts; what a row counts is computed once."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import lcm

import numpy as np

from kitsolver.brief.brief import Brief
from kitsolver.brief.own_rules import Limit
from kitsolver.craft.thread import Charted
from kitsolver.solve.candidates.candidate import Candidate, Thread
from kitsolver.solve.candidates.places import Ints
from kitsolver.solve.candidates.quantities import pools, skeins_a_pool, thread_units
from kitsolver.solve.rules.limits import measure_of

# Counts beyond this could leave 64 bits once they are added up.
_MOST_COUNT = 2**36


class CountedRows:
    """What the rows of some candidates count for a limit, in `parts` of what is limited.

    Parameters
    ----------
    rows : sequence of Candidate
        Every row that may enter a kit.
    rule : Limit
        Of the brief.
    """

    def __init__(self, rows: Sequence[Candidate], rule: Limit, brief: Brief) -> None:
        self._brief, self.lines = brief, rule.column is None
        measure = measure_of(rule)
        said = [Fraction(row.measure(measure)) if row.sku else Fraction(0) for row in rows]
        self.parts = lcm(*(number.denominator for number in said))
        counts = [int(number * self.parts) for number in said]
        # Whether no row counts less than nothing, nor so much that sums leave 64 bits.
        self.known = all(0 <= count <= _MOST_COUNT for count in counts)
        self._of_unit = {
            (row.category, row.sku): count for row, count in zip(rows, counts, strict=True)
        }
        # The rows of thread that are known, by their identity, which lasts while they are kept.
        self._threads: dict[int, tuple[Sequence[Thread], Ints]] = {}

    def of_unit(self, row: Candidate) -> int:
        """Return what a unit of a row counts, or a line of it where lines are counted.

        Rows that are no candidates count nothing.
        """
        return self._of_unit.get((row.category, row.sku), 0)

    def of(self, row: Candidate, units: int) -> int:
        """Return what some units of a row count."""
        return self.of_unit(row) * (1 if self.lines else units)

    def of_row(self, row: Candidate) -> int:
        """Return what a row counts, of which no other choice changes the units."""
        return self.of(row, row.units) if row.sku else 0

    def of_threads(self, threads: Sequence[Thread]) -> Ints:
        """Return what a unit of each of some rows counts."""
        known = self._threads.get(id(threads))
        if known is None:
            counts = np.array([self.of_unit(row) for row in threads], dtype=np.int64)
            known = self._threads[id(threads)] = threads, counts
        return known[1]

    def of_colour(self, threads: Sequence[Thread], asked: Charted, count: Fraction | None) -> Ints:
        """Return what each of some rows counts as the thread of a charted colour.

        Parameters
        ----------
        count : Fraction or None
            The effective count; None where it is unknown.
        """
        counts = self.of_threads(threads)
        if self.lines:
            # A thread at home of which nothing is bought is no less a line.
            return counts
        number, _ = pools(self._brief)
        a_pool: dict[int, int] = {}
        units = np.zeros_like(counts)
        for place in np.flatnonzero(counts).tolist():
            row = threads[place]
            length = row.skein_length
            if row.home_length:
                units[place] = thread_units(row, asked, count, self._brief)
                continue
            if length not in a_pool:
                a_pool[length] = number * skeins_a_pool(asked, count, length, self._brief)
            units[place] = a_pool[length]
        return counts * units
