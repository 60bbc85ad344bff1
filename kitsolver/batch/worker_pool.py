"""Worker processes: each holds the catalogue and does one task at a time; a dead one is replaced.

Every worker has a pipe of its own, so it is known what a dead one was doing, and the others are
left at their work.
"""

from __future__ import annotations

import os
import pickle
import signal
from collections import Counter, deque
from collections.abc import Generator, Iterator, Sequence
from contextlib import contextmanager, suppress
from multiprocessing import get_context
from multiprocessing.connection import Connection, wait
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kitsolver.batch.work import Shop, Task, Worked

# A task that was under way when its worker died is tried once more.
MOST_DEATHS = 2
# So many workers in a row that die before they are ready: the next would too.
_MOST_STILLBORN = 4
# Tasks are what runs side by side, so that no library need start threads for one of them.
_THREADS = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS")


class NoWorker(Exception):
    """No worker process stays alive."""


def cores() -> int:
    """Return how many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def in_processes(shop: Shop, tasks: Sequence[Task], workers: int) -> Generator[Worked, None, None]:
    """Yield what becomes of each task, as it is done.

    Parameters
    ----------
    workers : int
        How many processes there are at most.

    Raises
    ------
    NoWorker
        If one worker after the other dies before it has begun.
    """
    from kitsolver.batch.work import Worked

    payload = pickle.dumps(shop, protocol=pickle.HIGHEST_PROTOCOL)
    waiting, deaths, stillborn = deque(tasks), Counter[str](), 0
    crew = [_Worker() for _ in range(min(workers, len(tasks)))]
    try:
        # They all begin to load while the first is still being told.
        for worker in crew:
            worker.tell(payload)
        while waiting or any(worker.task for worker in crew):
            for worker in crew:
                if waiting and worker.idle:
                    worker.give(waiting.popleft())
            for worker in _heard(crew):
                try:
                    done = worker.receive()
                except (EOFError, OSError):
                    pass
                else:
                    stillborn = 0
                    if done is not None:
                        yield done
                    continue
                crew.remove(worker)
                worker.dismiss()
                stillborn += not worker.ready
                if stillborn == _MOST_STILLBORN:
                    raise NoWorker("no worker process stays alive")
                if task := worker.task:
                    deaths[task.name] += 1
                    if deaths[task.name] == MOST_DEATHS:
                        told = f"its worker process died {MOST_DEATHS} times"
                        yield Worked(task.name, fault=told)
                    else:
                        waiting.append(task)
                if waiting:
                    crew.append(_Worker())
                    crew[-1].tell(payload)
    finally:
        for worker in crew:
            worker.dismiss()


class _Worker:
    """A worker process as its employer sees it."""

    def __init__(self) -> None:
        # Spawned, not forked: solvers and array libraries may hold locks in threads of theirs.
        context = get_context("spawn")
        self.pipe, theirs = context.Pipe()
        self.process = context.Process(target=_serve, args=(theirs,), daemon=True)
        with _deaf_to_interrupts():
            self.process.start()
        theirs.close()
        self.ready = False
        self.task: Task | None = None

    @property
    def idle(self) -> bool:
        return self.ready and self.task is None

    def tell(self, payload: bytes) -> None:
        """Hand over the shop."""
        # Whether it died in the meantime shows when it is heard.
        with suppress(OSError):
            self.pipe.send_bytes(payload)

    def give(self, task: Task) -> None:
        """Hand over a task."""
        self.task = task
        with suppress(OSError):
            self.pipe.send(task)

    def receive(self) -> Worked | None:
        """Return what became of the task; None from a worker that has just become ready.

        Raises
        ------
        EOFError, OSError
            If it is dead.
        """
        done: Worked | None = self.pipe.recv()
        self.ready, self.task = True, None
        return done

    def dismiss(self) -> None:
        """End the process, whatever it is doing."""
        self.pipe.close()
        self.process.kill()
        self.process.join()
        self.process.close()


def _heard(crew: Sequence[_Worker]) -> list[_Worker]:
    """Wait until workers have something to say, or are dead, and return them."""
    pipes = wait([worker.pipe for worker in crew])
    return [worker for worker in crew if worker.pipe in pipes]


@contextmanager
def _deaf_to_interrupts() -> Iterator[None]:
    """Start processes that Ctrl-C does not reach: their employer hears it, and dismisses them."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, [signal.SIGINT])
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _serve(pipe: Connection) -> None:
    """Do tasks until the pipe closes: the whole life of a worker process."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    os.environ.update(dict.fromkeys(_THREADS, "1"))
    with suppress(EOFError, OSError):
        payload = pipe.recv_bytes()
        from kitsolver.batch.work import worked

        shop: Shop = pickle.loads(payload)
        del payload
        pipe.send(None)
        while True:
            pipe.send(worked(shop, pipe.recv()))
