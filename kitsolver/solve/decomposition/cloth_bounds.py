"""Which designs are within which fabrics at all, and what cuts for all heads cost at least.

Sides are estimated in floating point, with an allowance in the kit's favour.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from kitsolver.craft.lengths import INCH
from kitsolver.solve.candidates.candidate import Fabric
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.runs import Ints
from kitsolver.solve.decomposition.thread.choices import SLACK


def _array(values: Iterable[int]) -> Ints:
    return np.fromiter(values, dtype=np.int64)


def fits(candidates: Candidates, fabrics: Sequence[Fabric]) -> NDArray[np.bool_]:
    """Tell which chart fits which fabric at all, in doubt that it does: (charts, fabrics)."""
    if any(chart.size is None for chart in candidates.charts):
        return np.ones((len(candidates.charts), len(fabrics)), dtype=bool)
    room = room_of(fabrics)
    short, long = cut_sides(candidates, fabrics)
    return np.asarray((short <= room[:, 0]) & (long <= room[:, 1]))


def costs_of_cuts(candidates: Candidates, fabrics: Sequence[Fabric], most_cost: int) -> Ints | None:
    """Return what pieces for all heads cost at least: (charts, fabrics), in minor units.

    None where a fabric always costs what one unit of it does.
    """
    kits = candidates.brief.kits
    if kits == 1 or any(chart.size is None for chart in candidates.charts):
        return None
    room = room_of(fabrics)
    # A fabric of unknown sides, or off the roll, counts as one unit.
    known = np.isfinite(room[:, 0]) & np.isfinite(room[:, 1])
    room = np.where(known[:, None], room, 0)
    short, long = cut_sides(candidates, fabrics)
    # No more pieces come from a fabric than there is area, or squares of their shorter sides.
    squares = np.floor(room[:, 0] / short) * np.floor(room[:, 1] / short)
    pieces = np.minimum(room.prod(axis=1) / (short * long), squares)
    units = np.where(known, np.ceil(kits / np.maximum(1, np.floor(pieces))), 1)
    rolls = _array(fabric.units if fabric.roll else 1 for fabric in fabrics)
    home = _array(fabric.home for fabric in fabrics)
    bought = np.maximum(0, (units * rolls).astype(np.int64) - home)
    costs: Ints = np.minimum(bought * _array(fabric.price for fabric in fabrics), most_cost)
    return costs


def cut_sides(candidates: Candidates, fabrics: Sequence[Fabric]) -> NDArray[np.float64]:
    """Return the sides of the cuts, the shorter and the longer: (2, charts, fabrics)."""
    margin = 2 * float(candidates.brief.fit.margin)
    pitch = np.array([INCH / float(fabric.count or 1) for fabric in fabrics])
    stitches = np.array([sorted(chart.size or ()) for chart in candidates.charts]).reshape(-1, 2)
    sides: NDArray[np.float64] = stitches.T[:, :, None] * pitch + margin
    return sides


def room_of(fabrics: Sequence[Fabric]) -> NDArray[np.float64]:
    """Return the sides of each fabric, with an allowance for estimates: (fabrics, 2)."""
    # What is not known of a fabric at home is not held against it.
    return np.array([_sides(fabric) for fabric in fabrics]).reshape(-1, 2) * (1 + SLACK) + 1


def _sides(fabric: Fabric) -> list[float]:
    """Return the sides of a fabric, the shorter first; endless where not known, or off the roll."""
    if fabric.count is None:
        return [np.inf] * 2
    if fabric.roll is not None:
        return [float(fabric.roll.width), np.inf]
    return sorted(map(float, fabric.size or (np.inf, np.inf)))


def undominated_fabrics(fabrics: Sequence[Fabric]) -> list[Fabric]:
    """Leave out fabrics that count no more than one as large, at the same count, no dearer.

    However many units are taken: no more of the other may be at home.
    """
    kept: dict[Fraction | None, list[tuple[Fraction, Fraction, Fabric]]] = defaultdict(list)
    rolls: list[Fabric] = []
    for fabric in sorted(fabrics, key=lambda fabric: -fabric.points):
        if fabric.roll is not None:
            rolls.append(fabric)
            continue
        short, long = sorted(fabric.size or (Fraction(0), Fraction(0)))
        same = kept[fabric.count]
        if not any(
            row.price <= fabric.price and row.home >= fabric.home and one >= short and other >= long
            for one, other, row in same
        ):
            same.append((short, long, fabric))
    return [*rolls, *(fabric for same in kept.values() for *_, fabric in same)]
