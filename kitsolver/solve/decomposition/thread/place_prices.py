"""What places of thread must cost so that no two colours want the same one.

Each place goes to one colour at most. A price on places that several colours want makes each
colour pay for standing in the way of others. Colours that choose by themselves at such prices
score, together with all prices, no less than any assignment of a place of its own to each; at the
best prices they score exactly as much as the best assignment. These are the dual values of an
assignment problem, found along shortest augmenting paths (Kuhn 1955, Naval Research Logistics
Quarterly 2:83-97, in the form of Jonker and Volgenant 1987, Computing 38:325-340; both recalled
from memory).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]

# No place: far below any score, and so far from the end of 64 bits that scores can be added.
NEVER = -(2**60)
# What a colour is assigned for which no place is left.
NO_PLACE = -2
# Scores beyond this could leave 64 bits: no prices are set then.
_MANY = 2**56
# Farther than any path.
_FAR = 2**62


def place_prices(scores: Ints, own: Ints) -> tuple[Ints, Ints]:
    """Return the price of each place, and which one each colour is assigned.

    Parameters
    ----------
    scores : array of int64, shape (colours, places)
        What each colour scores with each place that several of them want; ``NEVER`` where it may
        not have it.
    own : array of int64, shape (colours,)
        What each colour scores with the best place that nobody else wants; ``NEVER`` without any.

    Returns
    -------
    prices : array of int64, shape (places,)
        None below zero.
    assigned : array of int64, shape (colours,)
        The number of the place, or -1 for the colour's own. A colour for which no place is left
        is assigned ``NO_PLACE``; so is each where scores are too large.
    """
    colours, places = scores.shape
    every = np.concatenate([scores, np.full((colours, colours), NEVER)], axis=1)
    every[np.arange(colours), places + np.arange(colours)] = own
    known = every > NEVER
    if np.abs(every, where=known, out=np.zeros_like(every)).max(initial=0) >= _MANY:
        return np.zeros(places, dtype=np.int64), np.full(colours, NO_PLACE)
    owner, held = np.full(places + colours, -1), np.full(colours, -1)
    best, first = every.max(axis=1), every.argmax(axis=1)
    paid = np.zeros(places + colours, dtype=np.int64)
    late = []
    for colour, place in enumerate(first.tolist()):
        if owner[place] < 0 and best[colour] > NEVER:
            owner[place], held[colour] = colour, place
        else:
            late.append(colour)
    for colour in late:
        if best[colour] > NEVER:
            _augment(every, best, paid, owner, held, colour)
    return paid[:places], np.where(held >= places, -1, np.where(held < 0, NO_PLACE, held))


def _augment(every: Ints, best: Ints, paid: Ints, owner: Ints, held: Ints, colour: int) -> None:
    """Find a place for one more colour: others move, and prices rise, by as little as can be.

    Changed are `best`, what each colour scores at most; `paid`, the price of each place; `owner`,
    which colour has a place; and `held`, which place a colour has.
    """
    away = np.full(len(paid), _FAR)
    before = np.full(len(paid), -1)
    reached: list[int] = []
    open_ = np.ones(len(paid), dtype=bool)
    at, lowest = colour, 0
    while True:
        slack = lowest + best[at] - (every[at] - paid)
        closer = open_ & (slack < away) & (every[at] > NEVER)
        away[closer], before[closer] = slack[closer], at
        place = int(np.where(open_, away, _FAR).argmin())
        lowest = int(away[place])
        if lowest >= _FAR or not open_[place]:
            return
        if owner[place] < 0:
            break
        open_[place] = False
        reached.append(place)
        at = int(owner[place])
    best[colour] -= lowest
    for done in reached:
        rise = lowest - int(away[done])
        paid[done] += rise
        best[owner[done]] -= rise
    holder = -1
    while holder != colour:
        holder = int(before[place])
        owner[place], held[holder], place = holder, place, int(held[holder])
