"""Worker processes: each does one task at a time, and is ended if that takes too long."""

from __future__ import annotations

import asyncio
import pickle
from collections import OrderedDict
from collections.abc import Awaitable, Callable, Hashable
from multiprocessing import get_context
from typing import Any, Generic, TypeVar

from pebble import ProcessExpired, ProcessPool

from kitsolver.page.work import Fault, begin, done

T = TypeVar("T")

# After so many tasks a worker makes way for a new one, and with it all that it may have gathered.
_MOST_TASKS = 1_000


class Busy(Exception):
    """Too much is waiting already."""


class Crew:
    """Worker processes with a bounded queue.

    Parameters
    ----------
    workers : int
        At least two: heavy tasks leave one of them free.
    most_waiting : int
        How many tasks may be under way or waiting.
    """

    def __init__(self, workers: int, most_waiting: int = 64) -> None:
        self.workers = workers
        self._pool = ProcessPool(
            workers, max_tasks=_MOST_TASKS, initializer=begin, context=get_context("spawn")
        )
        self._most_waiting = most_waiting
        self._waiting = 0
        self._heavy = asyncio.Semaphore(workers - 1)

    async def do(
        self, task: Callable[..., T], *args: Any, seconds: float, heavy: bool = False
    ) -> T:
        """Return what a task comes to in a worker.

        Parameters
        ----------
        task : callable
            A function of a module; it and `args` go to another process.
        seconds : float
            How long it may run before its worker is ended.
        heavy : bool
            Whether it may take long: such tasks never take up all workers.

        Raises
        ------
        Busy
            If too much is waiting.
        TookTooLong
            If it ran out of time.
        BadInput, OutOfTime
            As the task does.
        Fault
            If it went wrong in any other way.
        """
        if self._waiting >= self._most_waiting:
            raise Busy
        self._waiting += 1
        try:
            if not heavy:
                return await self._done(task, args, seconds)
            async with self._heavy:
                return await self._done(task, args, seconds)
        finally:
            self._waiting -= 1

    async def _done(self, task: Callable[..., T], args: tuple[Any, ...], seconds: float) -> T:
        try:
            # Packed here: what cannot be would end the one thread that hands tasks out.
            packed = pickle.dumps((task, args))
        except Exception as fault:
            raise Fault(f"{type(fault).__name__}: {fault}") from None
        future = self._pool.schedule(done, args=[packed], timeout=seconds)
        try:
            result: T = await asyncio.wrap_future(future)
        except ProcessExpired as fault:
            # A worker that died, by its own fault or for want of memory.
            raise Fault(str(fault)) from None
        return result

    def stop(self) -> None:
        """End every worker."""
        self._pool.stop()  # type: ignore[no-untyped-call] # pebble annotates it in part
        self._pool.join()


class Memory(Generic[T]):
    """Remembers the last results by their key; who asks while one is being made waits for it."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._known: OrderedDict[Hashable, asyncio.Future[T]] = OrderedDict()

    def known(self, key: Hashable) -> T | None:
        """Return a result that is there already, else None."""
        future = self._known.get(key)
        if future is None or not future.done():
            return None
        self._known.move_to_end(key)
        return future.result()

    async def get(self, key: Hashable, make: Callable[[], Awaitable[T]]) -> T:
        """Return a result, made if it is not known; a failure is not remembered."""
        if key in self._known:
            self._known.move_to_end(key)
            return await asyncio.shield(self._known[key])
        future = self._known[key] = asyncio.ensure_future(make())
        future.add_done_callback(lambda made: self._forget(key, made))
        while len(self._known) > self._most:
            self._known.popitem(last=False)
        return await asyncio.shield(future)

    def _forget(self, key: Hashable, made: asyncio.Future[T]) -> None:
        if (made.cancelled() or made.exception()) and self._known.get(key) is made:
            del self._known[key]
