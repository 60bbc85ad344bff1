"""The places without which some best ways to colour a chart are still there.

Where all colours take as many units of a place, a place may be exchanged for one that costs no more
and counts no less, if that is not too like the other places taken. A place is not needed if, among
those that it may be exchanged for, there are more than the other places can ever be too like to.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from kitsolver.solve.decomposition.free.question import Question, Steps
from kitsolver.solve.decomposition.runs import Ints


def only_needed(
    steps: Steps, question: Question, alike: Callable[[Sequence[int]], NDArray[np.bool_]]
) -> tuple[Steps, Question]:
    """Return the steps and the question with only what its best costs and points need.

    Which colour takes which place makes no difference to them. So steps are sorted anew: those that
    are too alike come one after the other, and labels remember a step for a short time only.

    Parameters
    ----------
    question : Question
        Of colours that all take as many units of a place.
    alike : callable
        Tells of places, by their ranks, which are too alike.
    """
    units = question.units[0]
    # Places that come several times are looked at once.
    usable = list({steps.rank[at]: at for at, taken in enumerate(units) if taken >= 0}.values())
    threads = [steps.threads[at] for at in usable]
    cost = [
        0 if thread.sku in question.bought else thread.cost_of(units[at])
        for at, thread in zip(usable, threads, strict=True)
    ]
    table = alike([steps.rank[at] for at in usable])
    left = needed(
        np.array(cost, dtype=np.int64),
        np.array([steps.points[at] for at in usable], dtype=np.int64),
        table,
        np.array([thread.sku in question.kept for thread in threads], dtype=bool),
        len(question.units),
    )
    order = _neighbours_together(np.flatnonzero(left).tolist(), table)
    found = [usable[number] for number in order]
    later = np.triu(table[np.ix_(order, order)], k=1)
    packed = np.packbits(later, axis=1, bitorder="little")
    fewer = Steps(
        [steps.threads[at] for at in found],
        [steps.points[at] for at in found],
        [steps.rank[at] for at in found],
        [int.from_bytes(row.tobytes(), "little") for row in packed],
    )
    each = [units[at] for at in found]
    return fewer, replace(question, units=[each] * len(question.units))


def _neighbours_together(places: Sequence[int], alike: NDArray[np.bool_]) -> list[int]:
    """Return places in an order in which those that are too alike are close to each other."""
    left, order = dict.fromkeys(places), list[int]()
    while left:
        queue = [next(iter(left))]
        for place in queue:
            if place in left:
                del left[place]
                order.append(place)
                queue += [other for other in np.flatnonzero(alike[place]).tolist() if other in left]
    return order


def needed(
    cost: Ints,
    points: Ints,
    alike: NDArray[np.bool_],
    kept: NDArray[np.bool_],
    colours: int,
) -> NDArray[np.bool_]:
    """Return which places are needed for every least cost at which so many points are reached.

    Parameters
    ----------
    cost, points : array of int, shape (places,)
        Of each place.
    alike : array of bool, shape (places, places)
        Which two are too alike to be taken together; of a place and itself it does not matter.
    kept : array of bool, shape (places,)
        The places that may not be left out.
    colours : int
        How many places are taken, or fewer.
    """
    if not len(cost):
        return np.ones(0, dtype=bool)
    number = np.arange(len(cost))
    before = (points > points[:, None]) | (cost < cost[:, None]) | (number < number[:, None])
    # By place which others it may be exchanged for; no chain of exchanges comes back.
    better = (points >= points[:, None]) & (cost <= cost[:, None]) & before
    many = better.sum(axis=1)
    touched = alike | np.eye(len(cost), dtype=bool)
    # By place taken and place exchanged, how many exchanges are barred.
    taken, near = np.nonzero(touched)
    begin = np.searchsorted(taken, number)
    barred = np.add.reduceat(better.T[near], begin, axis=0, dtype=np.int64)
    barred[touched] = 0
    left = np.ones(len(cost), dtype=bool)
    while True:
        most = np.sort(np.where(left[:, None], barred, 0), axis=0)[::-1][: max(0, colours - 1)]
        unneeded = left & ~kept & (most.sum(axis=0) < many)
        if not unneeded.any():
            return left
        left &= ~unneeded
