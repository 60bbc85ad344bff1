"""The page's worker processes, and the line of the questions that wait for one of them.

A worker that dies is replaced, also if it was idle. A task that takes too long, or whose result
nobody waits for any more, is ended with its worker.
"""

from __future__ import annotations

import asyncio
import pickle
from collections.abc import Callable, Hashable
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import suppress
from contextvars import ContextVar
from dataclasses import dataclass
from typing import TypeVar

from kitsolver.page.last_keys import LastKeys
from kitsolver.page.worker import Fault, Reply
from kitsolver.page.worker_slot import WorkerDied, WorkerSlot

T = TypeVar("T")

# Names the request that is being answered, so that it can be asked which place in line it has.
TICKET: ContextVar[str] = ContextVar("ticket", default="")

# A task whose worker died is given to one more worker.
_MOST_DEATHS = 2
# A task that nobody waits for any more is ended after this time, in seconds: most are done sooner,
# and a new worker takes longer to start.
_GRACE_SECONDS = 1.0
# How long a worker may take to start and receive a task, in seconds.
_STARTING_SECONDS = 60.0
# Idle workers are looked after this often, in seconds.
_KEEPING_SECONDS = 1.0
# A kind of question that took less than this the last time is not heavy, in seconds.
_QUICK_SECONDS = 0.5
_KINDS_REMEMBERED = 1_000
# A worker that has held so much more than a worker held after the first task of all is replaced,
# in bytes: so the memory of many uploads is given back. The first task reads the page's catalogue.
MOST_MEMORY = 512 * 2**20


class Busy(Exception):
    """Too much is waiting; `place` is the place in line that the question had or would have had."""

    def __init__(self, place: int) -> None:
        super().__init__(place)
        self.place = place


class TookTooLong(Exception):
    """A task was ended because it took too long."""


@dataclass(eq=False)
class _Waiting:
    """A question that waits for a worker."""

    heavy: bool
    ticket: str
    turn: asyncio.Future[WorkerSlot]


class WorkerPool:
    """Worker processes with a bounded line of waiting questions.

    Parameters
    ----------
    workers : int
        How many; at least two, for heavy tasks leave one of them free.
    most_waiting : int
        How many questions may wait.
    waiting_seconds : float
        How long a question may wait.
    first : WorkerSlot, optional
        The place of the first worker, which may run already.
    """

    def __init__(
        self,
        workers: int,
        most_waiting: int = 64,
        waiting_seconds: float = 30.0,
        first: WorkerSlot | None = None,
    ) -> None:
        self.workers = workers
        self._most_waiting, self._waiting_seconds = most_waiting, waiting_seconds
        self._slots = [first or WorkerSlot(), *(WorkerSlot() for _ in range(workers - 1))]
        # Which workers are kept running, whether or not anything waits for them.
        self._kept: list[WorkerSlot] = []
        self._idle = list(self._slots)
        self._line: list[_Waiting] = []
        self._heavy = 0
        self._usual_memory = 0
        self._quick = LastKeys(_KINDS_REMEMBERED)
        self._threads = ThreadPoolExecutor(workers, thread_name_prefix="worker")
        self._keeper: asyncio.Task[None] | None = None
        self._stopped = False

    @property
    def pids(self) -> list[int]:
        """The numbers of the worker processes that run."""
        return [slot.pid for slot in self._slots if slot.pid]

    def start(self, workers: int | None = None) -> None:
        """Start all workers, or only some for now, and look after them from now on."""
        self._kept = self._slots[:workers]
        if self._keeper is None:
            self._keeper = asyncio.ensure_future(self._keep())

    def place(self, ticket: str) -> int:
        """Return the place in line of the question with a ticket, the first being 1; 0 if none."""
        for place, waiting in enumerate(self._line, start=1):
            if ticket and waiting.ticket == ticket:
                return place
        return 0

    async def do(
        self,
        task: Callable[..., T],
        *args: object,
        seconds: float,
        heavy: bool = False,
        kind: Hashable = None,
    ) -> T:
        """Return the result of a task that a worker does.

        Parameters
        ----------
        task : callable
            A function of a module; it and `args` are sent to another process.
        seconds : float
            How long it may run before it is ended; the start of a worker does not count.
        heavy : bool
            Whether it may take long. Heavy tasks never take up all workers.
        kind : hashable, optional
            What kind of task this is. It is heavy unless the last one of its kind was quick.

        Raises
        ------
        Busy
            If too many questions are waiting, or this one waited too long.
        TookTooLong
            If it took too long.
        BadInput, OutOfTime
            As the task does.
        Fault
            If it went wrong in any other way.
        """
        try:
            packed = pickle.dumps((task, args))
        except Exception as fault:
            raise Fault(f"{type(fault).__name__}: {fault}") from None
        if kind is not None:
            heavy = kind not in self._quick
        for _ in range(_MOST_DEATHS):
            slot = await self._turn(heavy)
            try:
                reply = await self._asked(slot, packed, seconds, heavy)
            except WorkerDied:
                continue
            except OSError:
                # There is no memory for another process just now.
                raise Busy(1) from None
            self._remember(kind, reply.seconds)
            if reply.error is not None:
                raise reply.error
            result: T = reply.result
            return result
        raise Fault("the worker process died, and so did the next")

    def stop(self) -> None:
        """End every worker."""
        self._stopped = True
        if self._keeper is not None:
            self._keeper.cancel()
        for slot in self._slots:
            slot.close()
        self._threads.shutdown(cancel_futures=True)
        for slot in self._slots:
            slot.stop()

    async def _turn(self, heavy: bool) -> WorkerSlot:
        """Wait for a worker."""
        if len(self._line) >= self._most_waiting:
            raise Busy(len(self._line) + 1)
        turn: asyncio.Future[WorkerSlot] = asyncio.get_running_loop().create_future()
        waiting = _Waiting(heavy, TICKET.get(), turn)
        self._line.append(waiting)
        self._give_turns()
        taken = False
        try:
            async with asyncio.timeout(self._waiting_seconds):
                slot = await turn
            taken = True
        except TimeoutError:
            place = self._line.index(waiting) + 1 if waiting in self._line else 1
            raise Busy(place) from None
        finally:
            if waiting in self._line:
                self._line.remove(waiting)
            elif not taken and turn.done() and not turn.cancelled():
                # It was given a worker in the very moment in which it stopped waiting.
                self._free(turn.result(), heavy)
        return slot

    def _give_turns(self) -> None:
        """Give idle workers to those who wait, the first first."""
        for waiting in list(self._line):
            if not self._idle:
                return
            if waiting.turn.done() or (waiting.heavy and self._heavy >= self.workers - 1):
                continue
            # The one that worked last has its catalogue at hand, unless it does not run.
            slot = next((one for one in reversed(self._idle) if one.alive), self._idle[-1])
            self._idle.remove(slot)
            self._line.remove(waiting)
            self._heavy += waiting.heavy
            waiting.turn.set_result(slot)

    async def _asked(self, slot: WorkerSlot, packed: bytes, seconds: float, heavy: bool) -> Reply:
        """Return a worker's reply; the worker is ended if that takes too long."""
        loop = asyncio.get_running_loop()
        limit = asyncio.timeout(_STARTING_SECONDS)

        def received() -> None:
            loop.call_soon_threadsafe(_restart, limit, seconds)

        asked = self._threads.submit(slot.ask, packed, received)

        def freed(_: Future[Reply]) -> None:
            with suppress(RuntimeError):  # the loop may have been closed meanwhile
                loop.call_soon_threadsafe(self._free, slot, heavy)

        asked.add_done_callback(freed)
        reply = asyncio.wrap_future(asked)
        try:
            async with limit:
                return await asyncio.shield(reply)
        except TimeoutError:
            slot.end()
            with suppress(WorkerDied, OSError):
                # It may have been done just now.
                return await reply
            raise TookTooLong from None
        except asyncio.CancelledError:
            loop.call_later(_GRACE_SECONDS, _end_unless_done, slot, asked)
            # What it says in the end is of no interest.
            reply.add_done_callback(lambda done: done.cancelled() or done.exception())
            raise

    def _free(self, slot: WorkerSlot, heavy: bool) -> None:
        """Take back a worker that has done its task."""
        self._heavy -= heavy
        self._idle.append(slot)
        self._usual_memory = self._usual_memory or slot.memory
        if slot.memory > self._usual_memory + MOST_MEMORY:
            slot.end()
        self._give_turns()

    def _remember(self, kind: Hashable, seconds: float) -> None:
        """Remember whether a kind of task was quick."""
        if kind is None:
            return
        if seconds < _QUICK_SECONDS:
            self._quick.note(kind)
        else:
            self._quick.forget(kind)

    async def _keep(self) -> None:
        """Start a process wherever an idle worker has none that runs, again and again."""
        loop = asyncio.get_running_loop()
        while not self._stopped:
            for slot in [one for one in self._kept if one in self._idle and not one.alive]:
                if slot not in self._idle:
                    # It has been given a task while another one was started.
                    continue
                self._idle.remove(slot)
                try:
                    await loop.run_in_executor(self._threads, slot.start)
                except OSError:
                    # Next time there may be memory for it.
                    pass
                finally:
                    self._idle.append(slot)
                self._give_turns()
            await asyncio.sleep(_KEEPING_SECONDS)


def _restart(limit: asyncio.Timeout, seconds: float) -> None:
    """Let a time limit begin now, unless it has passed or is needed no more."""
    # It cannot be changed any more then.
    with suppress(RuntimeError):
        limit.reschedule(asyncio.get_running_loop().time() + seconds)


def _end_unless_done(slot: WorkerSlot, asked: Future[Reply]) -> None:
    if not asked.done():
        slot.end()
