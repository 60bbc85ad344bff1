"""A conflict in sentences: the demands, what among the goods stands in the way, sums and rows."""

from __future__ import annotations

from collections.abc import Iterator

from kitsolver.explain.demands.conditions import emptied_category
from kitsolver.explain.demands.explanation import Conflict, Obstacle
from kitsolver.explain.demands.keep import Keep
from kitsolver.explain.demands.registry import barring
from kitsolver.explain.wording import listed, sentence


def sentences(conflict: Conflict, obstacles: list[Obstacle]) -> Iterator[str]:
    """Yield why there is no kit: the demands with what most stands in the way, then the rest."""
    clauses = [obstacle.says for obstacle in obstacles]
    if not conflict.demands:
        clauses = clauses or ["whatever is given up, nothing in the catalogue goes together"]
        yield from map(sentence, clauses)
        return
    emptied = emptied_category(conflict)
    start = f"Nothing is left for {emptied}" if emptied else "There is no kit"
    because = listed([f"because {demand.says}" for demand in conflict.demands])
    first = f": {clauses[0]}" if clauses else ""
    yield f"{start}, {because}{first}."
    yield from map(sentence, clauses[1:])
    yield from _kept_but_barred(conflict)


def _kept_but_barred(conflict: Conflict) -> Iterator[str]:
    """Yield why kept rows may not be in a kit by themselves."""
    alone = conflict.alone
    kept = {demand.sku for demand in conflict.demands if isinstance(demand, Keep)}
    for sku in alone.barred_keeps if kept else ():
        if sku not in kept:
            continue
        for why in barring(sku, alone.now, alone.catalogue):
            yield f"Of {sku}: {why[0].lower()}{why[1:]}"
