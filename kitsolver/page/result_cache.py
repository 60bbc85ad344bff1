"""Remembers the last results, so that the same question is worked out once."""

from __future__ import annotations

import asyncio
from collections import OrderedDict
from collections.abc import Awaitable, Callable, Hashable
from dataclasses import dataclass
from typing import Generic, TypeVar

T = TypeVar("T")


@dataclass(eq=False)
class _Entry(Generic[T]):
    """A result that is there or is being made, how many wait for it, and its size in bytes."""

    result: asyncio.Future[T]
    waiting: int = 0
    size: int = 0


class ResultCache(Generic[T]):
    """Remembers results by their keys. Who asks for one that is being made waits for it.

    When nobody waits for it any more, its making is cancelled.

    Parameters
    ----------
    most : int
        How many results are remembered; those that were asked for longest ago are forgotten.
    is_answer : callable
        Whether a result is the whole answer. One that ran out of time is not: it is known, but
        who asks again gets it made again. Failures are not remembered.
    most_bytes : int, optional
        How large the results may be together. The last one is remembered whatever its size.
    size_of : callable, optional
        The size of a result in bytes.
    """

    def __init__(
        self,
        most: int,
        is_answer: Callable[[T], bool] = lambda _: True,
        *,
        most_bytes: int = 0,
        size_of: Callable[[T], int] = lambda _: 0,
    ) -> None:
        self._most, self._is_answer = most, is_answer
        self._most_bytes, self._size_of = most_bytes, size_of
        self._entries: OrderedDict[Hashable, _Entry[T]] = OrderedDict()

    def known(self, key: Hashable) -> T | None:
        """Return a result that is there already, else None."""
        entry = self._entries.get(key)
        if entry is None or not entry.result.done():
            return None
        self._entries.move_to_end(key)
        return entry.result.result()

    async def get(self, key: Hashable, make: Callable[[], Awaitable[T]]) -> T:
        """Return a result, made if it is not known."""
        entry = self._entries.get(key)
        if entry is None or self._is_part(entry.result):
            entry = self._entries[key] = _Entry(asyncio.ensure_future(make()))
            entry.result.add_done_callback(lambda result: self._note(key, result))
        self._entries.move_to_end(key)
        self._forget()
        entry.waiting += 1
        try:
            return await asyncio.shield(entry.result)
        finally:
            entry.waiting -= 1
            if not entry.waiting and not entry.result.done():
                entry.result.cancel()
                self._remove(key, entry.result)

    def _note(self, key: Hashable, result: asyncio.Future[T]) -> None:
        """Note the size of a result, or forget that it failed."""
        if result.cancelled() or result.exception():
            self._remove(key, result)
            return
        entry = self._entries.get(key)
        if entry is not None and entry.result is result:
            entry.size = self._size_of(result.result())
            self._forget()

    def _forget(self) -> None:
        """Forget what is too much, but not what was asked for last."""
        size = sum(entry.size for entry in self._entries.values())
        while len(self._entries) > self._most or (
            size > self._most_bytes and len(self._entries) > 1
        ):
            _, entry = self._entries.popitem(last=False)
            size -= entry.size

    def _is_part(self, result: asyncio.Future[T]) -> bool:
        return result.done() and not self._is_answer(result.result())

    def _remove(self, key: Hashable, result: asyncio.Future[T]) -> None:
        entry = self._entries.get(key)
        if entry is not None and entry.result is result:
            del self._entries[key]
