"""Which thread colours are near which charted colours, looked up once for all charts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

import numpy as np

from kitsolver.craft.colour import (
    DIFFERENCE_UNIT,
    MOST_LIGHTNESS_WEIGHT,
    ciede2000,
    in_units,
    lab,
)
from kitsolver.solve.entry.goods import Place, Thread
from kitsolver.solve.rules import place_points


def near(
    charted: Sequence[str], threads: Sequence[Thread], tolerance: int, mismatch: Fraction
) -> Mapping[str, list[Place]]:
    """Return for each charted colour the places within a tolerance, in the threads' order.

    Parameters
    ----------
    charted : sequence of str
        Distinct colours.
    threads : sequence of Thread
        Each of their colours is a place.
    tolerance : int
        In ten-thousandths of CIEDE2000.
    mismatch : Fraction
        Quality points lost per unit of difference.
    """
    places = [(thread, i) for thread in threads for i in range(len(thread.colours))]
    if not places or not charted:
        return {colour: [] for colour in charted}
    labs = lab([thread.colours[i] for thread, i in places])
    order = np.argsort(labs[:, 0], kind="stable")
    lightness = labs[order, 0]
    # One unit of room for the rounding, and what is left is looked at closely.
    reach = MOST_LIGHTNESS_WEIGHT * (tolerance + 1) / DIFFERENCE_UNIT
    found: dict[str, list[Place]] = {}
    for colour, seen in zip(charted, lab(charted), strict=True):
        first, last = np.searchsorted(lightness, [seen[0] - reach, seen[0] + reach])
        some = np.sort(order[first:last])
        far = in_units(ciede2000(seen, labs[some]))
        close = far <= tolerance
        found[colour] = [
            Place(thread, i, away, place_points(thread.points, away, mismatch))
            for (thread, i), away in zip(
                (places[at] for at in some[close]), far[close].tolist(), strict=True
            )
        ]
    return found
