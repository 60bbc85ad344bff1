"""What the page and the API answer from: catalogues, worker processes, and what they found out."""

from __future__ import annotations

import os
from bisect import bisect_right
from collections.abc import Callable
from concurrent.futures import TimeoutError as TookTooLong
from typing import TypeVar

from kitsolver.brief.brief import Brief
from kitsolver.explain.answer import Answer
from kitsolver.page import tasks
from kitsolver.page.address import Address
from kitsolver.page.catalogue_store import Held, Stock
from kitsolver.page.tasks import Look, ProvenRungs
from kitsolver.page.work import Shelf
from kitsolver.page.worker_pool import Busy, Crew, Memory
from kitsolver.solve.outcome import Outcome, Rung, Status

__all__ = ["Busy", "Service", "TookTooLong"]

T = TypeVar("T")

_KITS, _CLIMBS, _LOOKS = 256, 24, 16


class Service:
    """Answers questions about catalogues and briefs.

    Parameters
    ----------
    stock : Stock
        The catalogues at hand.
    start : Address
        What is asked where an address asks for nothing.
    """

    def __init__(self, stock: Stock, start: Address) -> None:
        self.stock = stock
        self.start = start
        self.crew = Crew(workers=max(2, os.cpu_count() or 1) + 1)
        self._kits = Memory[Answer](_KITS)
        self._climbs = Memory[ProvenRungs](_CLIMBS)
        self._looks = Memory[Look](_LOOKS)

    async def do(self, task: Callable[..., T], *args: object, heavy: bool = True) -> T:
        """Return what a task comes to in a worker, as `Crew.do` does."""
        return await self.crew.do(task, *args, seconds=tasks.ENDED, heavy=heavy)

    def shelf(self, address: Address, currency: str | None) -> Shelf:
        """Return the catalogue of an address.

        Raises
        ------
        BadInput
            If it is not at hand.
        """
        return self.shelf_of(
            self.stock.get(address.catalogue), currency, skip_bad_rows=address.skip_bad_rows
        )

    def shelf_of(self, held: Held, currency: str | None, *, skip_bad_rows: bool = False) -> Shelf:
        """Return a catalogue at hand as it is to be read."""
        return Shelf(held.digest, held.name, held.path, currency, skip_bad_rows)

    async def look(self, shelf: Shelf) -> Look:
        """Return what there is in a catalogue."""
        return await self._looks.get(shelf, lambda: self.do(tasks.look, shelf))

    async def answer(self, address: Address, brief: Brief) -> Answer:
        """Return the best kit, from a ladder if it is known, or why there is none."""
        found = self._standing(address, brief)
        if found is not None:
            return Answer(found, None)
        shelf = self.shelf(address, brief.currency)
        key = shelf, _without_cap(address), brief.total_cap
        return await self._kits.get(key, lambda: self.do(tasks.kit, shelf, brief, heavy=False))

    def top(self, address: Address, brief: Brief) -> int:
        """Return the upper end of the ladder of an address, in minor units."""
        twice, least = 2 * brief.total_cap, brief.total_cap
        if not address.to:
            return twice
        # What is typed there is no brief, so it is taken for nothing if it is none.
        to = Address({**address.settings, "cap": address.to}).brief.total_cap
        return to if least <= to <= 100 * max(1, least) else twice

    async def climb(self, address: Address, brief: Brief) -> ProvenRungs:
        """Return the ladder of an address."""
        shelf, high = self.shelf(address, brief.currency), self.top(address, brief)
        key = shelf, _without_cap(address), high
        return await self._climbs.get(key, lambda: self.do(tasks.climb, shelf, brief, high))

    def known_climb(self, address: Address, brief: Brief) -> ProvenRungs | None:
        """Return the ladder of an address if it is known already."""
        shelf, high = self.shelf(address, brief.currency), self.top(address, brief)
        return self._climbs.known((shelf, _without_cap(address), high))

    def _standing(self, address: Address, brief: Brief) -> Outcome | None:
        """Return the kit that stands on a known ladder at the cap; None if that is not known."""
        climb, cap = self.known_climb(address, brief), brief.total_cap
        if climb is None or not climb.proven_from <= cap <= climb.high:
            return None
        at = bisect_right(climb.stages, cap, key=lambda stage: stage.cap)
        if at == 0:
            return None
        stage, above = climb.stages[at - 1], climb.stages[at:][:1]
        return Outcome(
            Status.BEST,
            brief,
            stage.kit,
            bound=stage.figures,
            next_rung=Rung(above[0].cap, above[0].figures) if above else None,
        )


def _without_cap(address: Address) -> tuple[tuple[str, str], ...]:
    settings = address.settings.items()
    return tuple(sorted(item for item in settings if item[0] not in ("cap", "cap_per_head")))
