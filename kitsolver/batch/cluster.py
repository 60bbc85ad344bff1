"""The tasks of a batch on a Dask cluster that is already running."""

from __future__ import annotations

import logging
from collections import Counter
from collections.abc import Generator, Iterator, Sequence
from concurrent.futures import CancelledError
from contextlib import contextmanager
from importlib.metadata import version
from typing import TYPE_CHECKING

from kitsolver.batch.work import Task, TaskResult, WorkerContext, run_task
from kitsolver.shop.sources.source_address import masked

if TYPE_CHECKING:
    from distributed import Client

# How long to wait for the scheduler to answer, and for a worker to come, in seconds.
_ANSWER_SECONDS, _WORKER_SECONDS = 5, 30
# How often a task is submitted; each time the cluster tries several workers.
_MOST_ATTEMPTS = 2
# When so many rounds in a row bring no result, the next one would not either.
_MOST_IDLE_ROUNDS = 3


class NoCluster(Exception):
    """There is no cluster to work on; `hint` says what to do."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.hint = hint


def on_cluster(
    context: WorkerContext, tasks: Sequence[Task], address: str
) -> Generator[TaskResult, None, None]:
    """Yield the result of each task as soon as the workers of a cluster have done it.

    Parameters
    ----------
    address : str
        Where its scheduler listens, for example ``tcp://127.0.0.1:8786``.

    Raises
    ------
    NoCluster
        If the extra is not installed, no scheduler answers, or no worker is left.
    """
    with _client(address) as client:
        _check_versions(client, address)
        attempts, idle_rounds = Counter[str](), 0
        left = {task.name: task for task in tasks}
        while left:
            if idle_rounds == _MOST_IDLE_ROUNDS:
                raise _no_worker_left(address)
            before = len(left)
            for name, result in _round(client, address, context, list(left.values())):
                attempts[name] += result is None
                if result is None and attempts[name] < _MOST_ATTEMPTS:
                    continue
                yield result or TaskResult(name, fault="the workers of the cluster died of it")
                del left[name]
            idle_rounds = idle_rounds + 1 if len(left) == before else 0


def _round(
    client: Client, address: str, context: WorkerContext, tasks: Sequence[Task]
) -> Iterator[tuple[str, TaskResult | None]]:
    """Submit all tasks once, and yield their names with their results.

    The result is None if the workers of a task died. A task is left out if it was lost because
    all workers that had the catalogue are gone: the next round submits it again.
    """
    from distributed import KilledWorker, as_completed

    try:
        client.wait_for_workers(1, timeout=_WORKER_SECONDS)
        # Every worker that is there gets it once; one that joins later gets it from another.
        [held] = client.scatter([context], broadcast=True, hash=False)
    except (OSError, CancelledError, RuntimeError):
        raise _no_worker_left(address) from None
    futures = {client.submit(run_task, held, task, pure=False): task.name for task in tasks}
    for future in as_completed(futures, loop=client.loop):
        name = futures.pop(future)
        try:
            yield name, future.result()
        except CancelledError:
            continue
        except KilledWorker:
            yield name, None
        except Exception as fault:
            yield name, TaskResult(name, fault=f"{type(fault).__name__}: {fault}")


@contextmanager
def _client(address: str) -> Iterator[Client]:
    try:
        from distributed import Client
        from distributed.comm.addressing import get_address_host_port
    except ImportError:
        message = "A cluster needs the package distributed, which is not installed."
        raise NoCluster(message, "pip install 'kitsolver[cluster]'") from None
    for name in ("distributed", "distributed.client", "tornado.application", "asyncio"):
        # Dask logs lost workers and connections; here one sentence reports what is not replaced.
        logging.getLogger(name).setLevel(logging.CRITICAL)
    try:
        # Checked first: a client that is given a malformed address cannot be closed.
        get_address_host_port(address, strict=True)
        client = Client(address, timeout=_ANSWER_SECONDS, set_as_default=False)
    except (OSError, ValueError, TypeError) as fault:
        message = f"No cluster answers at {masked(address)!r}."
        hint = "give the address that the scheduler shows, for example tcp://127.0.0.1:8786"
        raise NoCluster(message, hint) from fault
    with client:
        yield client


def _check_versions(client: Client, address: str) -> None:
    """Refuse workers that have another version of kitsolver, or none.

    Raises
    ------
    NoCluster
        If there is such a worker, or no worker.
    """
    here = version("kitsolver")
    try:
        client.wait_for_workers(1, timeout=_WORKER_SECONDS)
        there = client.run(version, "kitsolver", on_error="return")
    except (OSError, CancelledError):
        raise _no_worker_left(address) from None
    for worker, found in there.items():
        if found != here:
            has = f"kitsolver {found}" if isinstance(found, str) else "no kitsolver"
            message = f"The worker at {worker} has {has}, and this is kitsolver {here}."
            raise NoCluster(message, "install the same version on every worker")


def _no_worker_left(address: str) -> NoCluster:
    message = f"The cluster at {masked(address)!r} has no worker that could go on."
    return NoCluster(message, "start workers; the same command goes on with what is missing")
