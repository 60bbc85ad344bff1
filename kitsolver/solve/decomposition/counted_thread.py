"""What the thread of a charted colour counts for a limit at most, money having a price."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import NamedTuple

import numpy as np

from kitsolver.craft.thread import Charted
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.places import Asked
from kitsolver.solve.candidates.quantities import pools, skeins_a_pool
from kitsolver.solve.decomposition.counted_rows import CountedRows
from kitsolver.solve.decomposition.objective import SCORE_UNIT

# Scores beyond this could leave 64 bits.
_LARGE = 2**61


class _Row(NamedTuple):
    """A row of thread near a colour, by all that its score depends on.

    Parameters
    ----------
    length : int
        Of a skein, as `Thread` has it.
    counted : int
        What a unit counts, or a line.
    price : int
        Of a unit, in minor units; 0 where some is at home.
    colours : int
        How many colours one unit may serve.
    """

    length: int
    counted: int
    price: int
    colours: int


class CountedThread:
    """The thread near each charted colour, for a limit.

    Parameters
    ----------
    candidates : Candidates
        With any number of charts.
    counted : CountedRows
        What their rows count for the limit.
    rates : sequence of int
        Multipliers: what a minor unit of cost takes from a score.
    """

    def __init__(self, candidates: Candidates, counted: CountedRows, rates: Sequence[int]) -> None:
        self._candidates, self._counted, self._rates = candidates, counted, rates
        self._near: dict[Asked, list[_Row]] = {}
        self._known: dict[tuple[Charted, Fraction | None, int], list[int]] = {}

    def scores(self, asked: Charted, count: Fraction | None, colours: int) -> list[int]:
        """Return what the thread of a charted colour scores at most, at each multiplier.

        A pack counts once and is paid once, however many colours it serves. As long as it scores,
        one of them may count for all; if it scores less than nothing, they share that.

        Parameters
        ----------
        count : Fraction or None
            The effective count; None where it is unknown.
        colours : int
            How many colours the chart has.
        """
        key = asked, count, colours
        if key not in self._known:
            self._known[key] = self._scores(*key)
        return self._known[key]

    def _scores(self, asked: Charted, count: Fraction | None, colours: int) -> list[int]:
        rows = self._rows_near((asked.colour, asked.kind))
        units = self._units({row.length for row in rows}, asked, count)
        counted = [
            SCORE_UNIT * row.counted * (1 if self._counted.lines else units[row.length])
            for row in rows
        ]
        cost = [row.price * units[row.length] for row in rows]
        large = max(counted) + self._rates[-1] * max(cost) >= _LARGE
        kind = object if large else np.int64
        whole = np.array(counted, dtype=kind) - np.multiply.outer(
            np.array(self._rates, dtype=kind), np.array(cost, dtype=kind)
        )
        sharing = np.array([min(row.colours, colours) for row in rows], dtype=kind)
        best: list[int] = np.where(whole >= 0, whole, -(-whole // sharing)).max(axis=1).tolist()
        return best

    def _units(
        self, lengths: Iterable[int], asked: Charted, count: Fraction | None
    ) -> dict[int, int]:
        """Return the units that a colour takes of rows, by the length of their skeins."""
        brief = self._candidates.brief
        number, _ = pools(brief)
        # What is at home alone has no length.
        return {
            length: number * (skeins_a_pool(asked, count, length, brief) if length else 1)
            for length in lengths
        }

    def _rows_near(self, key: Asked) -> list[_Row]:
        """Return the rows near a colour of which no other counts more, costs less, serves more."""
        if key not in self._near:
            near = self._candidates.near.near.get(key)
            rows = [] if near is None else np.unique(near.row).tolist()
            threads = near.threads if near is not None else ()
            counts = self._counted.of_threads(threads)
            each = {
                _Row(
                    threads[row].skein_length,
                    int(counts[row]),
                    0 if threads[row].listed else threads[row].price,
                    max(1, len(threads[row].colours)),
                )
                for row in rows
            }
            self._near[key] = _undominated(each) or [_Row(0, 0, 0, 1)]
        return self._near[key]


def _undominated(rows: Iterable[_Row]) -> list[_Row]:
    kept: list[_Row] = []
    for row in sorted(rows, key=lambda row: (row.price, -row.counted, -row.colours)):
        alike = (one for one in kept if one.length == row.length)
        if not any(one.counted >= row.counted and one.colours >= row.colours for one in alike):
            kept.append(row)
    return kept
