"""What the fabrics for a chart count for a limit, and what they cost, by effective count."""

from __future__ import annotations

from fractions import Fraction
from functools import cached_property

from kitsolver.solve.candidates.candidate import Chart
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.counted_rows import CountedRows
from kitsolver.solve.rules import units_with


class CountedCloth:
    """The fabrics of some candidates, for a limit.

    Parameters
    ----------
    counted : CountedRows
        What their rows count for the limit.
    """

    def __init__(self, candidates: Candidates, counted: CountedRows) -> None:
        self._brief, self._counted = candidates.brief, counted
        # The cheapest first.
        self._fabrics = sorted(candidates.fabrics, key=lambda row: (row.cost, row.sku))

    @cached_property
    def most(self) -> int | None:
        """What no fabric counts more than, whatever the chart; None if the chart decides on that.

        A single head takes one unit of a fabric that is sold by the piece.
        """
        if self._brief.kits > 1 or any(row.roll is not None for row in self._fabrics):
            return None
        counts = (self._counted.of(row, 1) if row.sku else 0 for row in self._fabrics)
        return max(counts, default=0)

    def of(self, chart: Chart) -> dict[Fraction | None, list[tuple[int, int]]]:
        """Return by effective count what fabrics for a chart count, and what they cost.

        Fabrics that count no more than one that costs no more are left out.
        """
        found: dict[Fraction | None, list[tuple[int, int]]] = {}
        fixed = self._brief.kits == 1
        for row in self._fabrics:
            same = found.get(row.count)
            most = self._counted.of_row(row)
            if same and fixed and row.roll is None and most <= same[-1][0]:
                continue
            units = units_with(chart, row, self._brief)
            if units is not None:
                counted = self._counted.of(row, units) if row.sku else 0
                found.setdefault(row.count, []).append((counted, row.cost_of(units)))
        return found
