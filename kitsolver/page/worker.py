"""A worker process of the page: it does one task after the other, and remembers catalogues."""

from __future__ import annotations

import pickle
import re
import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import lru_cache
from multiprocessing.connection import Connection
from pathlib import Path
from time import monotonic
from typing import Any

from kitsolver.shop.findings import BadInput
from kitsolver.solve.time_limit import OutOfTime

CATALOGUES_REMEMBERED = 3
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


@dataclass(frozen=True)
class HomeToRead:
    """A home list that was handed in: its name, where its bytes are, and its goods' quality."""

    name: str
    path: Path
    quality: str = "50"


@dataclass(frozen=True)
class CatalogueToRead:
    """A catalogue file, and how it is to be read.

    Parameters
    ----------
    digest : str
        Of its bytes.
    name : str
        What its owner calls it.
    path : Path
        Where its bytes are.
    currency : str or None
        Of its prices; None where that is not known yet.
    skip_bad_rows : bool
        Whether rows with errors are left out.
    columns : Path or None
        Where the map is by which it is read.
    home : HomeToRead or None
        The list of what is at home, which is held beside it.
    """

    digest: str
    name: str
    path: Path
    currency: str | None = None
    skip_bad_rows: bool = False
    columns: Path | None = None
    home: HomeToRead | None = None

    def priced_in(self, currency: str) -> CatalogueToRead:
        """Return the same with prices in a currency."""
        return replace(self, currency=currency)


@lru_cache(CATALOGUES_REMEMBERED)
def catalogue_of(source: CatalogueToRead) -> Any:
    """Return a catalogue, read once.

    Raises
    ------
    BadInput
        If it cannot be used.
    """
    from kitsolver.shop.home.home_reading import with_home
    from kitsolver.shop.maps.mapping import read_map
    from kitsolver.shop.reading import read_catalogue
    from kitsolver.shop.source import read_source

    catalogue = read_catalogue(
        source.path,
        currency=source.currency,
        skip_bad_rows=source.skip_bad_rows,
        name=source.name,
        mapping=read_map(source.columns) if source.columns else None,
    )
    if source.home is None:
        return catalogue
    rows = read_source(source.home.path, name=source.home.name, header_by=("sku",))
    return with_home(catalogue, rows, quality=Decimal(source.home.quality))[0]


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
