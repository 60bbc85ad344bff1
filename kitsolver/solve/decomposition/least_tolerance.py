"""A tolerance of colour below which no kit of a chart comes within a goods total."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from fractions import Fraction
from functools import partial
from itertools import islice
from typing import NamedTuple

from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.quantities import thread_units
from kitsolver.solve.decomposition.opened_chart import without_extras, worthless
from kitsolver.solve.decomposition.subproblem import Subproblem
from kitsolver.solve.decomposition.thread.assignment import holds_alike
from kitsolver.solve.rules.stock import in_stock
from kitsolver.solve.time_limit import TimeLimit


class _Offer(NamedTuple):
    """A place for a colour: the least of its row's cost that falls to it, and how far it is."""

    share: int
    key: tuple[str, int]
    difference: int


def least_tolerance(candidates: Candidates, goods: int, time_limit: TimeLimit) -> int | None:
    """Return a tolerance below which no kit of a chart comes within a goods total.

    At each effective count all but thread costs at least what its cheapest rows cost, and every
    colour at least its share of a row that is near enough.

    Parameters
    ----------
    candidates : Candidates
        With one chart, whose thread is matched to its own colours, and with all thread within the
        widest tolerance that is of interest.
    goods : int
        In minor units.

    Returns
    -------
    int or None
        In ten-thousandths of CIEDE2000; None if no kit comes within the goods total.

    Raises
    ------
    StateLimitReached, OutOfTime
        As `kitsolver.solve.decomposition.subproblem.Subproblem` does.
    """
    lean = worthless(without_extras(candidates))
    subproblem = Subproblem.of_money(lean, goods, time_limit)
    found = list[int]()
    for at in subproblem.counts:
        left = goods - sum(int(part.cost[0]) for part in at.parts)
        offers = _offers(lean, at.count)
        steps = sorted({one.difference for offer in offers for one in offer})
        # Another count that needs a wider tolerance is of no use.
        steps = steps[: bisect_left(steps, min(found))] if found else steps
        place = bisect_left(steps, True, key=partial(_may_cost, offers, left))
        found += steps[place : place + 1]
    return min(found, default=None)


def _offers(candidates: Candidates, count: Fraction | None) -> list[list[_Offer]]:
    """Return what each colour of the only chart may be given at an effective count, cheapest first.

    Places that cheaper ones dominate are among them, for a cheaper one may be further off.
    """
    (chart,) = candidates.charts
    shades = chart.shades or ()
    near = [candidates.near.near[asked.colour, asked.kind] for asked in shades]
    # By row its colours that some colour of the chart may be given.
    wanted = defaultdict[str, set[int]](set)
    for each in near:
        for row, index in zip(each.row.tolist(), each.index.tolist(), strict=True):
            wanted[each.threads[row].sku].add(index)
    found = []
    for asked, each in zip(shades, near, strict=True):
        rows = {row: each.threads[row] for row in set(each.row.tolist())}
        units = {
            alike: thread_units(thread, asked, count, candidates.brief)
            for alike, thread in {holds_alike(row): row for row in rows.values()}.items()
        }
        shares = {
            row: thread.cost_of(units[holds_alike(thread)]) // len(wanted[thread.sku])
            for row, thread in rows.items()
            if in_stock(thread, units[holds_alike(thread)])
        }
        cells = zip(each.row.tolist(), each.index.tolist(), each.difference.tolist(), strict=True)
        offers = (
            _Offer(shares[row], (each.threads[row].sku, index), difference)
            for row, index, difference in cells
            if row in shares
        )
        found.append(sorted(offers))
    return found


def _may_cost(offers: list[list[_Offer]], most: int, tolerance: int) -> bool:
    """Tell whether thread within a tolerance may cost so much or less.

    Of colours that are cheapest served by the same place all but one take another.
    """
    total = 0
    beyond = defaultdict[tuple[str, int], list[int]](list)
    for each in offers:
        near = list(islice((one for one in each if one.difference <= tolerance), 2))
        if not near:
            return False
        total += near[0].share
        beyond[near[0].key].append(near[1].share - near[0].share if len(near) > 1 else most + 1)
    total += sum(sum(sorted(extra)[:-1]) for extra in beyond.values())
    return total <= most
