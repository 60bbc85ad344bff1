"""What views and API are answered from: catalogues, worker processes, and results remembered."""

from __future__ import annotations

import asyncio
import os
import re
from bisect import bisect_right
from collections.abc import Callable, Hashable
from dataclasses import replace
from decimal import Decimal
from time import monotonic
from typing import BinaryIO, TypeVar

from kitsolver.brief.brief import Brief
from kitsolver.explain.answer import Answer
from kitsolver.page import tasks
from kitsolver.page.address import Address
from kitsolver.page.catalogue_store import CatalogueStore, StoredCatalogue
from kitsolver.page.catalogue_summary import CatalogueSummary, summary_of
from kitsolver.page.catalogue_to_read import CatalogueToRead, HomeToRead
from kitsolver.page.last_keys import LastKeys
from kitsolver.page.packed_ladder import PackedLadder, packed_ladder
from kitsolver.page.page_findings import NoSum
from kitsolver.page.patience import Patience
from kitsolver.page.result_cache import ResultCache
from kitsolver.page.tasks import TimedAnswer
from kitsolver.page.worker_pool import WorkerPool
from kitsolver.page.worker_slot import WorkerSlot
from kitsolver.shop.findings import BadInput
from kitsolver.solve.outcome import Outcome, Rung, Status
from kitsolver.solve.time_limit import OutOfTime

T = TypeVar("T")

_ANSWERS, _LADDERS, _SUMMARIES, _BRIEFS = 256, 24, 16, 256
# A ladder of a few hundred kits takes 2 MB.
_LADDER_BYTES = 24 * 2**20
# A brief that is read in so many seconds is read in no time.
_QUICK = 0.05
# A sum that is longer than this is a mistake.
_SHOWN = 40
_SUM = re.compile(r"[0-9]{1,15}(\.[0-9]{1,6})?")


class Service:
    """Answers questions about catalogues and briefs.

    Parameters
    ----------
    store : CatalogueStore
        The catalogues that can be asked about.
    start : Address
        What is asked where an address asks for nothing.
    example : Address, optional
        A kit to look at, for those who have asked for nothing yet.
    first : WorkerSlot, optional
        The place of the first worker, which may run already.
    """

    def __init__(
        self,
        store: CatalogueStore,
        start: Address,
        example: Address | None = None,
        first: WorkerSlot | None = None,
    ) -> None:
        self.store, self.example = store, example
        self.start = replace(start, made_on=store.own.digest)
        self.pool = WorkerPool(workers=max(2, os.cpu_count() or 1) + 1, first=first)
        self._briefs = ResultCache[Brief](_BRIEFS)
        # What briefs that were read in no time say beside the sum.
        self._quickly_read = LastKeys(_BRIEFS)
        self._answers = ResultCache[TimedAnswer](_ANSWERS, lambda found: found.complete)
        self._ladders = ResultCache[PackedLadder](
            _LADDERS,
            lambda found: found.complete,
            most_bytes=_LADDER_BYTES,
            size_of=lambda found: found.size,
        )
        self._patience = Patience()
        self._summaries = ResultCache[CatalogueSummary](_SUMMARIES)

    async def do(
        self,
        task: Callable[..., T],
        *args: object,
        kind: Hashable = None,
        searching: float = tasks.SEARCHING,
    ) -> T:
        """Return the result of a task, which is heavy unless the last one of its kind was quick.

        `searching` is how many seconds the task itself looks for its result. Raises what
        `WorkerPool.do` raises.
        """
        heavy, seconds = kind is None, tasks.ENDED - tasks.SEARCHING + searching
        return await self.pool.do(task, *args, seconds=seconds, heavy=heavy, kind=kind)

    async def read(self, task: Callable[..., T], *args: object) -> T:
        """Return the result of a task that reads what somebody wrote.

        It is done by a worker, so that nothing that was sent can hold up the page. Raises what
        `WorkerPool.do` raises.
        """
        return await self.pool.do(task, *args, seconds=tasks.READING)

    async def brief(self, address: Address) -> Brief:
        """Return the brief of an address.

        Raises
        ------
        BadInput
            With every finding.
        """
        key, rest = tuple(address.settings.items()), _without_cap(address)

        async def look() -> Brief:
            # A move of the slider says another sum beside what was read in no time before.
            if rest in self._quickly_read and _SUM.fullmatch(address.settings.get("cap", "")):
                return tasks.brief_of_address(address)
            begun = monotonic()
            found = await self.read(tasks.brief_of_address, address)
            if monotonic() - begun < _QUICK:
                self._quickly_read.note(rest)
            return found

        return await self._briefs.get(key, look)

    def source(self, address: Address, currency: str | None) -> CatalogueToRead:
        """Return the catalogue of an address.

        Raises
        ------
        BadInput
            If it is not kept.
        """
        stored = self.store.get(address.catalogue)
        columns = self.store.get(address.columns) if address.columns else None
        found = self.source_of(
            stored, currency, skip_bad_rows=address.skip_bad_rows, columns=columns
        )
        if not address.home:
            return found
        kept, quality = self.store.get(address.home), address.settings.get("home.quality", "50")
        return replace(found, home=HomeToRead(kept.name, kept.path, quality))

    def source_of(
        self,
        stored: StoredCatalogue,
        currency: str | None,
        *,
        skip_bad_rows: bool = False,
        columns: StoredCatalogue | None = None,
    ) -> CatalogueToRead:
        """Return a catalogue that is kept, as it is to be read."""
        by = columns.path if columns else None
        return CatalogueToRead(stored.digest, stored.name, stored.path, currency, skip_bad_rows, by)

    async def copied(self, name: str, content: BinaryIO) -> StoredCatalogue:
        """Return an upload copied for the store, which is yet to keep it.

        Raises
        ------
        BadInput
            If it is too large.
        """
        return await asyncio.to_thread(self.store.copy, name, content)

    async def summary(self, source: CatalogueToRead) -> CatalogueSummary:
        """Return what a catalogue holds."""
        return await self._summaries.get(source, lambda: self.do(summary_of, source))

    async def answer(self, address: Address, brief: Brief) -> TimedAnswer:
        """Return the best kit, from a ladder if that is known, or why there is none."""
        found = self._on_known_ladder(address, brief)
        if found is not None:
            return found
        source = self.source(address, brief.currency)
        kind = source, _without_cap(address)
        key = *kind, brief.total_cap
        seconds = self._patience.seconds(key, tasks.PICKING)

        async def look() -> TimedAnswer:
            asked = tasks.kit, source, brief, seconds
            found = await self.do(*asked, kind=kind, searching=seconds)
            self._patience.note(key, complete=found.complete)
            return found

        return await self._answers.get(key, look)

    def next_pick(self, address: Address, brief: Brief) -> float:
        """Return how many seconds the best kit of an address is looked for next time."""
        source = self.source(address, brief.currency)
        key = source, _without_cap(address), brief.total_cap
        return self._patience.seconds(key, tasks.PICKING)

    async def check(self, address: Address, brief: Brief) -> None:
        """Hold a brief against the catalogue of an address.

        Raises
        ------
        BadInput
            With every finding, if it names what the catalogue does not have.
        """
        await self.do(tasks.check, self.source(address, brief.currency), brief, kind="check")

    def top(self, address: Address, brief: Brief) -> int:
        """Return the upper end of the ladder of an address, in minor units.

        It is twice the cap if the address names none, or one that is below it or far above it.

        Raises
        ------
        BadInput
            If it is no sum in the brief's currency.
        """
        least = brief.total_cap
        if not address.to:
            return 2 * least
        amount = Decimal(address.to) if _SUM.fullmatch(address.to) else None
        try:
            top = None if amount is None else brief.minor(amount)
        except ValueError:
            top = None
        if top is None:
            found = NoSum(file="the address", column="to", value=address.to[:_SHOWN])
            raise BadInput([found])
        return top if least <= top <= 100 * max(1, least) else 2 * least

    async def ladder(self, address: Address, brief: Brief) -> PackedLadder:
        """Return the ladder of an address."""
        source, high = self.source(address, brief.currency), self.top(address, brief)
        key = source, _without_cap(address), high
        seconds = self._patience.seconds(key, tasks.SEARCHING)
        # A ladder on which time ran out is continued where it ended.
        before = self._ladders.known(key)

        async def look() -> PackedLadder:
            try:
                asked = packed_ladder, source, brief, high, seconds, before
                found = await self.do(*asked, searching=seconds)
            except OutOfTime:
                self._patience.note(key, complete=False)
                raise
            self._patience.note(key, complete=found.complete)
            return found

        return await self._ladders.get(key, look)

    def next_ladder(self, address: Address, brief: Brief) -> float:
        """Return how many seconds the ladder of an address is looked for next time."""
        source, high = self.source(address, brief.currency), self.top(address, brief)
        return self._patience.seconds((source, _without_cap(address), high), tasks.SEARCHING)

    def known_ladder(self, address: Address, brief: Brief) -> PackedLadder | None:
        """Return the ladder of an address if it is known already."""
        source, high = self.source(address, brief.currency), self.top(address, brief)
        return self._ladders.known((source, _without_cap(address), high))

    def _on_known_ladder(self, address: Address, brief: Brief) -> TimedAnswer | None:
        """Return the best kit from a ladder that is known; None if it does not tell."""
        ladder, cap = self.known_ladder(address, brief), brief.total_cap
        if ladder is None or not ladder.proven_from <= cap <= ladder.high:
            return None
        place = bisect_right(ladder.rungs, cap, key=lambda rung: rung.cap)
        if place == 0:
            return None
        rung, above = ladder.rungs[place - 1], ladder.rungs[place:][:1]
        found = Outcome(
            Status.BEST,
            brief,
            rung.kit,
            bound=rung.figures,
            next_rung=Rung(above[0].cap, above[0].figures) if above else None,
            row_counts=ladder.row_counts,
        )
        return TimedAnswer(Answer(found, None), complete=True, facts=ladder.facts)


def _without_cap(address: Address) -> tuple[tuple[str, str], ...]:
    settings = address.settings.items()
    return tuple(sorted(item for item in settings if item[0] not in ("cap", "cap_per_head")))
