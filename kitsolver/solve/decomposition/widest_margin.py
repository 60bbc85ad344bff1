"""The margin beyond which no kit within a goods total has a fabric that is large enough."""

from __future__ import annotations

from bisect import bisect_left
from fractions import Fraction

import numpy as np

from kitsolver.craft.cutting import pieces
from kitsolver.craft.fit import cut_size, finished_size
from kitsolver.solve.candidates.candidate import Chart, Fabric
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.cloth_bounds import cut_sides, room_of
from kitsolver.solve.decomposition.opened_chart import without_extras, worthless
from kitsolver.solve.decomposition.relaxation import Relaxation
from kitsolver.solve.decomposition.runs import Ints
from kitsolver.solve.decomposition.subproblem import Subproblem
from kitsolver.solve.decomposition.upper_bound import MOST_COST
from kitsolver.solve.time_limit import TimeLimit


def widest_margin(
    candidates: Candidates, most: int, unit: Fraction, asked: int, time_limit: TimeLimit
) -> int:
    """Return how many units of margin no kit has more of, `asked` at the most; below zero if none.

    Parameters
    ----------
    candidates : Candidates
        Of a brief that asks for no margin.
    most : int
        The goods total, in minor units.
    unit : Fraction
        Of the margin, in length units.
    asked : int
        In these units.

    Raises
    ------
    OutOfTime
        If there is no time left.
    """
    if candidates.infeasible:
        return -1
    if any(chart.size is None for chart in candidates.charts):
        return asked
    relaxed, kits = Relaxation(candidates, {}, MOST_COST), candidates.brief.kits
    cloths = relaxed.cloths
    # For each chart and fabric, how many units of it may be taken, and pieces come from each.
    left = most - relaxed.least_beside_fabric()
    if len(candidates.charts) == 1:
        left -= _beyond_relaxed_thread(candidates, relaxed, most, time_limit)
    units = np.minimum(kits, _units(cloths, np.maximum(0, left)))
    needed = -(-kits // np.maximum(1, units))
    # With a margin m, pieces have sides of short + 2 m and long + 2 m: one has to be within the
    # fabric, and all have no more area than it has.
    (short, long), room = cut_sides(candidates, cloths), room_of(cloths)
    one = np.minimum(room[:, 0] - short, room[:, 1] - long)
    area = np.sqrt((short - long) ** 2 + 4 * room.prod(axis=1) / needed) - short - long
    widest = np.floor(np.minimum(one, area / 2) / 2 / float(unit) + 1e-6)
    widest[(left < 0) | (units < 1)] = -1
    found = -1
    for at in np.argsort(-widest, axis=None, kind="stable").tolist():
        number, place = divmod(at, len(cloths))
        bound = int(min(asked, widest[number, place]))
        if bound <= found:
            break
        pair = candidates.charts[number], cloths[place]
        found = max(found, _widest(*pair, int(needed[number, place]), unit, bound))
    return found


def _beyond_relaxed_thread(
    candidates: Candidates, relaxed: Relaxation, most: int, time_limit: TimeLimit
) -> Ints:
    """Return for each fabric what the thread of the only chart costs more than its relaxation says.

    It is at least so much, by the effective count and with a place for each colour.
    """
    more: dict[Fraction | None, int] = {}
    if relaxed.thread is not None and not candidates.free:
        least, lean = -int(relaxed.thread(0, 1)[0]), worthless(without_extras(candidates))
        costs = Subproblem.of_money(lean, most, time_limit).least_thread_costs()
        more = {count: max(0, cost - least) for count, cost in costs.items()}
    return np.array([more.get(cloth.count, 0) for cloth in relaxed.cloths], dtype=np.int64)


def _units(cloths: list[Fabric], left: Ints) -> Ints:
    """Return how many units of each fabric there are for what is left, in minor units."""
    price, home = (np.array([getattr(c, key) for c in cloths]) for key in ("price", "home"))
    stock = np.array([cloth.stock for cloth in cloths], dtype=np.int64)
    bought = np.where(price > 0, left // np.maximum(1, price), stock)
    return np.asarray(np.minimum(np.minimum(bought, stock), MOST_COST) + home)


def _widest(chart: Chart, fabric: Fabric, number: int, unit: Fraction, asked: int) -> int:
    """Return the widest margin with which a fabric yields some pieces; below zero if none does."""
    if chart.size is None or fabric.size is None or fabric.count is None:
        return asked
    finished, size = finished_size(*chart.size, fabric.count), fabric.size

    def too_wide(units: int) -> bool:
        return pieces(cut_size(finished, units * unit), size, number) < number

    return bisect_left(range(asked + 1), True, key=too_wide) - 1
