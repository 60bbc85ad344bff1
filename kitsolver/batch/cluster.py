"""The same work on a Dask cluster that is already running."""

from __future__ import annotations

import logging
from collections import Counter
from collections.abc import Generator, Iterator, Sequence
from concurrent.futures import CancelledError
from contextlib import contextmanager
from importlib.metadata import version
from typing import TYPE_CHECKING

from kitsolver.batch.work import Shop, Task, Worked, worked

if TYPE_CHECKING:
    from distributed import Client

# How long an address is tried, and how long a worker is waited for.
_ANSWER_SECONDS, _WORKER_SECONDS = 5, 30
# The cluster itself gives a task several workers; so often is it handed in.
_MOST_ATTEMPTS = 2
# So many rounds in a row that bring nothing: the next would bring nothing either.
_MOST_IDLE_ROUNDS = 3


class NoCluster(Exception):
    """There is no cluster to work on; `hint` says what would help."""

    def __init__(self, told: str, hint: str) -> None:
        super().__init__(told)
        self.hint = hint


def on_cluster(shop: Shop, tasks: Sequence[Task], address: str) -> Generator[Worked, None, None]:
    """Yield what becomes of each task, as it is done by the workers of a cluster.

    Parameters
    ----------
    address : str
        Where its scheduler listens, for example ``tcp://127.0.0.1:8786``.

    Raises
    ------
    NoCluster
        If the extra is not installed, nobody answers, or no worker is left that could work.
    """
    with _client(address) as client:
        _check_versions(client, address)
        attempts, idle_rounds = Counter[str](), 0
        left = {task.name: task for task in tasks}
        while left:
            if idle_rounds == _MOST_IDLE_ROUNDS:
                raise _lost(address)
            before = len(left)
            for name, done in _round(client, address, shop, list(left.values())):
                attempts[name] += done is None
                if done is None and attempts[name] < _MOST_ATTEMPTS:
                    continue
                yield done or Worked(name, fault="the workers of the cluster died of it")
                del left[name]
            idle_rounds = idle_rounds + 1 if len(left) == before else 0


def _round(
    client: Client, address: str, shop: Shop, tasks: Sequence[Task]
) -> Iterator[tuple[str, Worked | None]]:
    """Hand all tasks in, and yield what becomes of them.

    None stands for a task that took its workers with it. Of a task that was lost because all who
    had the shop are gone, nothing is said: it is for the next round.
    """
    from distributed import KilledWorker, as_completed

    try:
        client.wait_for_workers(1, timeout=_WORKER_SECONDS)
        # Once to every worker there is; one that joins later asks another for it.
        [held] = client.scatter([shop], broadcast=True, hash=False)
    except (OSError, CancelledError, RuntimeError):
        raise _lost(address) from None
    futures = {client.submit(worked, held, task, pure=False): task.name for task in tasks}
    for future in as_completed(futures, loop=client.loop):
        name = futures.pop(future)
        try:
            yield name, future.result()
        except CancelledError:
            continue
        except KilledWorker:
            yield name, None
        except Exception as fault:
            yield name, Worked(name, fault=f"{type(fault).__name__}: {fault}")


@contextmanager
def _client(address: str) -> Iterator[Client]:
    try:
        from distributed import Client
        from distributed.comm.addressing import get_address_host_port
    except ImportError:
        told = "A cluster needs the package distributed, which is not installed."
        raise NoCluster(told, "pip install 'kitsolver[cluster]'") from None
    for name in ("distributed", "distributed.client", "tornado.application", "asyncio"):
        # What it logs of workers and connections lost is told in one sentence, or made good.
        logging.getLogger(name).setLevel(logging.CRITICAL)
    try:
        # A client that fails on the address itself is not to be got rid of.
        get_address_host_port(address, strict=True)
        client = Client(address, timeout=_ANSWER_SECONDS, set_as_default=False)
    except (OSError, ValueError, TypeError) as fault:
        told = f"No cluster answers at {address!r}."
        hint = "give the address that the scheduler shows, for example tcp://127.0.0.1:8786"
        raise NoCluster(told, hint) from fault
    with client:
        yield client


def _check_versions(client: Client, address: str) -> None:
    """Refuse workers that would answer otherwise, or not at all."""
    here = version("kitsolver")
    try:
        client.wait_for_workers(1, timeout=_WORKER_SECONDS)
        there = client.run(version, "kitsolver", on_error="return")
    except (OSError, CancelledError):
        raise _lost(address) from None
    for worker, found in there.items():
        if found != here:
            has = f"kitsolver {found}" if isinstance(found, str) else "no kitsolver"
            told = f"The worker at {worker} has {has}, and this is kitsolver {here}."
            raise NoCluster(told, "install the same version on every worker")


def _lost(address: str) -> NoCluster:
    told = f"The cluster at {address!r} has no worker that could go on."
    return NoCluster(told, "start workers; the same command goes on with what is missing")
