"""What is asked of a walk through the places of all thread, and what it answers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from kitsolver.solve.candidates.candidate import Thread


class Steps(NamedTuple):
    """The places of all thread in the order in which they are gone through.

    Parameters
    ----------
    threads : sequence of Thread
        Of each place its row.
    points : sequence of int
        What each counts, in hundredths.
    rank : sequence of int
        Where each comes in the tie-break among places.
    too_alike : sequence of int
        Of each the later places that are too alike, and itself where it comes again, as bits.
    """

    threads: Sequence[Thread]
    points: Sequence[int]
    rank: Sequence[int]
    too_alike: Sequence[int]


class Floor(NamedTuple):
    """What the scores of labels must be able to reach.

    Parameters
    ----------
    score : int
        The lowest score of interest.
    multiplier : int
        What a minor unit of cost takes from the score.
    weight : int
        What a hundredth of a point counts.
    alone : bool
        Whether nothing but the score is compared.
    """

    score: int
    multiplier: int
    weight: int
    alone: bool = False


@dataclass(frozen=True)
class Question:
    """What is asked of a walk.

    Parameters
    ----------
    units : sequence of sequence of int
        For each colour, the darkest first, the units of its row that it takes of each place; below
        zero where it may not have the place.
    bought : frozenset of str
        Packs whose places cost nothing and make no line.
    kept : frozenset of str
        Single rows that must be taken.
    equal_cost : bool
        Whether only labels of equal cost are compared.
    order : sequence of int, optional
        The colours' numbers in the tie-break; ties are not broken where it is left out.
    remembered : int
        The places that labels remember, as bits; -1 for all.
    floor : Floor, optional
        Below which labels are of no interest.
    """

    units: Sequence[Sequence[int]]
    bought: frozenset[str] = frozenset()
    kept: frozenset[str] = frozenset()
    equal_cost: bool = False
    order: Sequence[int] | None = None
    remembered: int = -1
    floor: Floor | None = None


class Found(NamedTuple):
    """One best way: what it costs and counts, and the rank of each colour's place, darkest first.

    `marked` tells that two places are too alike.
    """

    cost: int
    points: int
    ranks: tuple[int, ...]
    marked: bool
