"""Which thread colours are near which charted colours, looked up once for all charts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from kitsolver.craft.colour import differences
from kitsolver.solve.goods import Thread

# Charted colours compared at a time: a table of these by every thread colour is small.
_AT_ONCE = 256

# A thread, which of its colours, and the difference in ten-thousandths.
Near = tuple[Thread, int, int]


def near(
    charted: Sequence[str], threads: Sequence[Thread], tolerance: int
) -> Mapping[str, list[Near]]:
    """Return for each charted colour the places within a tolerance, in the threads' order.

    Parameters
    ----------
    charted : sequence of str
        Distinct colours.
    threads : sequence of Thread
        Each of their colours is a place.
    tolerance : int
        In ten-thousandths of CIEDE2000.
    """
    places = [(thread, i) for thread in threads for i in range(len(thread.colours))]
    if not places:
        return {colour: [] for colour in charted}
    colours, column = np.unique([t.colours[i] for t, i in places], return_inverse=True)
    found: dict[str, list[Near]] = {}
    for some in _chunks(charted):
        table = differences(some, [str(colour) for colour in colours])[:, column]
        for colour, row in zip(some, table, strict=True):
            at = np.flatnonzero(row <= tolerance)
            found[colour] = [(*places[i], int(row[i])) for i in at]
    return found


def _chunks(items: Sequence[str]) -> Iterator[Sequence[str]]:
    yield from (items[i : i + _AT_ONCE] for i in range(0, len(items), _AT_ONCE))
