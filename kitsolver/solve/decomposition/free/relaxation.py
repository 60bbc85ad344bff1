"""What free colours score at most, at a multiplier, with the places that are still to come.

Two relaxations are taken, and the lower score of both. In the one places come in order and may be
too alike. In the other colours are given places in any order and at what suits each place best, but
of places that count more than all that count no points no two are too alike.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from kitsolver.solve.decomposition.free.question import Question, Steps
from kitsolver.solve.decomposition.objective import SCORE_UNIT

Ints = NDArray[np.int64]

# Below any score, and so far from the end of 64 bits that scores can be added.
NEVER = -(2**60)
# More sets of places that are not too alike are not looked at.
_MOST_SETS = 20_000


def relaxed_scores(steps: Steps, question: Question, multiplier: int, weight: int) -> Ints:
    """Return what the colours from each on score at most with the places from each on.

    Parameters
    ----------
    multiplier : int
        What a minor unit of cost takes from the score.
    weight : int
        What a hundredth of a point counts.

    Returns
    -------
    array of int64, shape (places + 1, colours + 1)
    """
    units = np.array(question.units, dtype=np.int64).reshape(len(question.units), -1)
    price = [0 if t.sku in question.bought else t.price for t in steps.threads]
    home = [thread.home for thread in steps.threads]
    cost = np.maximum(0, units - home) * np.array(price, dtype=np.int64)
    points = SCORE_UNIT * weight * np.array(steps.points, dtype=np.int64)
    scores = np.where(units >= 0, points - multiplier * cost, NEVER)
    in_order = _in_order(scores)
    apart = _apart(steps, scores, points > 0)
    return in_order if apart is None else np.minimum(in_order, apart)


def _in_order(scores: Ints) -> Ints:
    """Return what colours score at most with places in order, whether these are too alike or not.

    Parameters
    ----------
    scores : array of int64, shape (colours, places)
    """
    colours, places = scores.shape
    best = np.full((places + 1, colours + 1), NEVER)
    best[:, -1] = 0
    for at in range(places - 1, -1, -1):
        taken = np.maximum(NEVER, scores[:, at] + best[at + 1, 1:])
        best[at, :-1] = np.maximum(best[at + 1, :-1], taken)
    return best


def _apart(steps: Steps, scores: Ints, counts: NDArray[np.bool_]) -> Ints | None:
    """Return what colours score at most where places of worth are not too alike.

    None if there are too many sets of such places.
    """
    colours, places = scores.shape
    each = scores.max(axis=0, initial=NEVER)
    plain = np.where(counts, NEVER, each)
    worthy = np.flatnonzero(counts & (each > plain.max(initial=NEVER)))
    plain[counts & (each > NEVER)] = each[counts & (each > NEVER)]
    plain[worthy] = NEVER
    sets = _sets_apart(steps, each, worthy.tolist(), colours)
    if sets is None:
        return None
    rest = _most_of_plain(plain, colours)
    best = np.full((places + 1, colours + 1), NEVER)
    for number in range(sets.shape[1]):
        # Of some colours so many take places of worth, and the others any.
        both = np.maximum(NEVER, sets[:, number, None] + rest[:, : colours + 1 - number])
        best[:, number:] = np.maximum(best[:, number:], both)
    # The colours that are left after each, and not the number of colours.
    return best[:, ::-1]


def _sets_apart(steps: Steps, each: Ints, worthy: list[int], colours: int) -> Ints | None:
    """Return by place from which on, and by number, what so many places of worth score at most."""
    at = {place: number for number, place in enumerate(worthy)}
    earlier = [0] * len(worthy)
    for place in worthy:
        alike = steps.too_alike[place]
        for other in worthy[at[place] + 1 :]:
            if alike >> other & 1:
                earlier[at[other]] |= 1 << at[place]
    sets: dict[int, list[tuple[int, int]]] = {0: [(0, 0)]}
    found = [{0: 0}]
    left = _MOST_SETS
    for number in range(len(worthy) - 1, -1, -1):
        more: dict[int, list[tuple[int, int]]] = defaultdict(list)
        for taken, labels in sets.items():
            more[taken] += labels
            if taken < colours:
                more[taken + 1] += [
                    (loss - int(each[worthy[number]]), barred | earlier[number])
                    for loss, barred in labels
                    if not barred >> number & 1
                ]
        before = (1 << number) - 1
        sets = {taken: list(_undominated(labels, before)) for taken, labels in more.items()}
        sets = {taken: labels for taken, labels in sets.items() if labels}
        left -= sum(map(len, sets.values()))
        if left < 0:
            return None
        found.append({taken: -labels[0][0] for taken, labels in sets.items()})
    table = np.full((len(worthy) + 1, max(map(max, found)) + 1), NEVER)
    for number, best in enumerate(reversed(found)):
        table[number, list(best)] = list(best.values())
    # From each place on, the worthy ones that are left begin there.
    begin: Ints = np.searchsorted(worthy, np.arange(len(each) + 1))
    return table[begin]


def _undominated(labels: list[tuple[int, int]], before: int) -> Iterator[tuple[int, int]]:
    """Yield the sets of which no other scores no less and bars no more of the earlier places."""
    kept: list[int] = []
    for loss, barred in sorted((loss, barred & before) for loss, barred in labels):
        if not any(other | barred == barred for other in kept):
            kept.append(barred)
            yield loss, barred


def _most_of_plain(plain: Ints, colours: int) -> Ints:
    """Return by place from which on, and by number, what so many of the other places score."""
    found = np.full((len(plain) + 1, colours + 1), NEVER)
    best = np.full(colours, NEVER)
    found[:, 0] = 0
    for at in range(len(plain) - 1, -1, -1):
        if colours and plain[at] > best[-1]:
            # The lowest of the best makes room.
            best[-1] = plain[at]
            best[::-1].sort()
        sums = np.cumsum(np.maximum(best, NEVER // (colours + 1)))
        found[at, 1:] = np.where(best > NEVER, sums, NEVER)
    return found
