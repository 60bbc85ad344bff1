"""Packs of different sizes of the same goods, mixed at least cost."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple


class Pack(NamedTuple):
    """One size of pack: how many it serves, what it costs, and how many there are."""

    name: str
    serves: int
    cost: int
    stock: int


def cheapest_mix(packs: Sequence[Pack], asked: int) -> dict[str, int] | None:
    """Return how many of each pack serve `asked` at least cost; None if there are too few.

    Parameters
    ----------
    packs : sequence of Pack
        Of different names.
    asked : int
        How many are to be served, or more.

    Notes
    -----
    Of mixes that cost the same the one of fewer packs is taken, then the first by name and
    number. Pack by pack, for every number served (what is above `asked` counts as that) the best
    mix so far is kept: exact, for what comes later does not ask how a number came about.
    """
    best: dict[int, tuple[int, int, tuple[tuple[str, int], ...]]] = {0: (0, 0, ())}
    for pack in sorted(packs):
        most = min(pack.stock, -(-asked // pack.serves))
        after: dict[int, tuple[int, int, tuple[tuple[str, int], ...]]] = {}
        for served, (cost, number, mix) in best.items():
            for taken in range(most + 1):
                reached = min(asked, served + taken * pack.serves)
                more = ((pack.name, taken),) if taken else ()
                way = cost + taken * pack.cost, number + taken, mix + more
                if reached not in after or way < after[reached]:
                    after[reached] = way
                if served + taken * pack.serves >= asked:
                    break
        best = after
    if asked not in best:
        return None
    return dict(best[asked][2])
