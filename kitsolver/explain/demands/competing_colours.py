"""Which colours of a chart are left without thread once each is given a place of its own."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import NamedTuple


class Competing(NamedTuple):
    """Colours that compete for too few places.

    Parameters
    ----------
    left_over : list of int
        Colours without a place, as many as there must be.
    colours : list of int
        For the first of them, all colours that compete with it, itself among them.
    places : int
        How many places these have between them.
    """

    left_over: list[int]
    colours: list[int]
    places: int


def competing(choices: Sequence[Sequence[Hashable]]) -> Competing | None:
    """Return colours that compete for too few places; None if each can have its own.

    Parameters
    ----------
    choices : sequence of sequence
        By colour the places that will do.

    Notes
    -----
    A maximum bipartite matching by augmenting paths: Kuhn (1955). The colours that such a path
    reaches from one without a place violate the condition of Hall (1935). (Both from memory.)
    """
    given: dict[Hashable, int] = {}

    def find_place(colour: int, seen: set[Hashable]) -> bool:
        for place in choices[colour]:
            if place in seen:
                continue
            seen.add(place)
            if place not in given or find_place(given[place], seen):
                given[place] = colour
                return True
        return False

    left_over = [colour for colour in range(len(choices)) if not find_place(colour, set())]
    if not left_over:
        return None
    reached: set[Hashable] = set()
    find_place(left_over[0], reached)
    return Competing(
        left_over, sorted({left_over[0], *(given[place] for place in reached)}), len(reached)
    )
