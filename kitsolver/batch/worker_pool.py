"""Worker processes that pick kits for many briefs; a worker that dies is replaced."""

from __future__ import annotations

import os
import pickle
from collections import Counter, deque
from collections.abc import Generator, Sequence
from contextlib import suppress
from multiprocessing.connection import Connection, wait
from typing import TYPE_CHECKING

from kitsolver.batch.worker_process import WorkerProcess

if TYPE_CHECKING:
    from kitsolver.batch.work import Task, TaskResult, WorkerContext

# A task whose worker died is given to one more worker.
MOST_DEATHS = 2
# When so many workers in a row die before they are ready, the next one would too.
_MOST_FAILED_STARTS = 4


class NoWorker(Exception):
    """No worker process stays alive."""


def cores() -> int:
    """Return how many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def in_processes(
    context: WorkerContext, tasks: Sequence[Task], workers: int
) -> Generator[TaskResult, None, None]:
    """Yield the result of each task as soon as it is done.

    Parameters
    ----------
    workers : int
        How many processes there are at most.

    Raises
    ------
    NoWorker
        If one worker after the other dies before it is ready.
    """
    from kitsolver.batch.work import TaskResult

    payload = pickle.dumps(context, protocol=pickle.HIGHEST_PROTOCOL)
    waiting, deaths, failed_starts = deque(tasks), Counter[str](), 0
    pool = [_Worker() for _ in range(min(workers, len(tasks)))]
    try:
        # All of them are started before the first is given the catalogue: they load meanwhile.
        for worker in pool:
            worker.give_context(payload)
        while waiting or any(worker.task for worker in pool):
            for worker in pool:
                if waiting and worker.idle:
                    worker.give_task(waiting.popleft())
            for worker in _ready_to_read(pool):
                try:
                    result = worker.receive()
                except (EOFError, OSError):
                    pass
                else:
                    failed_starts = 0
                    if result is not None:
                        yield result
                    continue
                pool.remove(worker)
                worker.process.kill()
                failed_starts += not worker.ready
                if failed_starts == _MOST_FAILED_STARTS:
                    raise NoWorker("no worker process stays alive")
                if task := worker.task:
                    deaths[task.name] += 1
                    if deaths[task.name] == MOST_DEATHS:
                        fault = f"its worker process died {MOST_DEATHS} times"
                        yield TaskResult(task.name, fault=fault)
                    else:
                        waiting.append(task)
                if waiting:
                    pool.append(_Worker())
                    pool[-1].give_context(payload)
    finally:
        for worker in pool:
            worker.process.kill()


class _Worker:
    """A worker process, and the task that it is doing."""

    def __init__(self) -> None:
        self.process = WorkerProcess(_serve)
        self.ready = False
        self.task: Task | None = None

    @property
    def idle(self) -> bool:
        return self.ready and self.task is None

    def give_context(self, payload: bytes) -> None:
        # A worker that has died meanwhile is noticed when it is read from.
        with suppress(OSError):
            self.process.pipe.send_bytes(payload)

    def give_task(self, task: Task) -> None:
        self.task = task
        with suppress(OSError):
            self.process.pipe.send(task)

    def receive(self) -> TaskResult | None:
        """Return the result of the task; None from a worker that has just become ready.

        Raises
        ------
        EOFError, OSError
            If the worker has died.
        """
        result: TaskResult | None = self.process.pipe.recv()
        self.ready, self.task = True, None
        return result


def _ready_to_read(pool: Sequence[_Worker]) -> list[_Worker]:
    """Wait until workers have sent something or have died, and return them."""
    pipes = wait([worker.process.pipe for worker in pool])
    return [worker for worker in pool if worker.process.pipe in pipes]


def _serve(pipe: Connection) -> None:
    """Do tasks until the pipe closes."""
    payload = pipe.recv_bytes()
    from kitsolver.batch.work import run_task

    context: WorkerContext = pickle.loads(payload)
    del payload
    pipe.send(None)
    while True:
        pipe.send(run_task(context, pipe.recv()))
