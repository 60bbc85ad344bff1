"""A worker process of the page: it does one task after the other."""

from __future__ import annotations

import pickle
import re
import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
from multiprocessing.connection import Connection
from pathlib import Path
from time import monotonic
from typing import Any

from kitsolver.shop.findings import BadInput
from kitsolver.solve.time_limit import OutOfTime

# What a worker sends when it has received a task.
RECEIVED = b"received"


class Fault(Exception):
    """The program is at fault."""


@dataclass(frozen=True)
class Reply:
    """What a worker sends back.

    Parameters
    ----------
    result : object
        What the task returned; None if it raised something.
    error : BadInput, OutOfTime, Fault or None
        What it raised.
    seconds : float
        How long it took.
    memory : int
        The most memory that the worker has held so far, in bytes; 0 where that is not known.
    """

    result: Any = None
    error: BadInput | OutOfTime | Fault | None = None
    seconds: float = 0.0
    memory: int = 0


def serve(pipe: Connection) -> None:
    """Do the tasks that come through a pipe until it closes."""
    # Imported before the first task comes, as it takes longer than most tasks.
    import kitsolver.page.tasks  # noqa: F401 - only to have it loaded
    from kitsolver.page.garbage import keep_what_is_there

    keep_what_is_there()
    while True:
        packed = pipe.recv_bytes()
        pipe.send_bytes(RECEIVED)
        pipe.send_bytes(_packed(_done(packed)))


def _done(packed: bytes) -> Reply:
    """Do a task, and return the reply, whatever it raises."""
    start = monotonic()
    result: Any = None
    error: BadInput | OutOfTime | Fault | None = None
    try:
        task: Callable[..., Any]
        task, args = pickle.loads(packed)
        result = task(*args)
    except (BadInput, OutOfTime) as fault:
        error = fault
    except Exception as fault:
        error = _fault(fault)
    return Reply(result, error, monotonic() - start, _memory())


def _packed(reply: Reply) -> bytes:
    try:
        return pickle.dumps(reply)
    except Exception as fault:
        return pickle.dumps(replace(reply, result=None, error=_fault(fault)))


def _fault(fault: Exception) -> Fault:
    return Fault(f"{type(fault).__name__}: {fault}")


def _memory() -> int:
    """Return the most memory that this process has held, in bytes; 0 where that is not known."""
    status = Path("/proc/self/status")
    if status.exists():
        # What getrusage gives on Linux begins with the peak of the process that started this one.
        peak = re.search(r"^VmHWM:\s+(\d+) kB$", status.read_text(encoding="ascii"), re.MULTILINE)
        return 1024 * int(peak[1]) if peak else 0
    if sys.platform == "darwin":
        import resource

        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return 0
