"""A worker process: it holds catalogues, and does tasks."""

from __future__ import annotations

import os
import pickle
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.findings import BadInput
from kitsolver.shop.reading import read_catalogue
from kitsolver.solve.time_limit import OutOfTime

_CATALOGUES_HELD = 3


class Fault(Exception):
    """The program is at fault."""


def begin() -> None:
    """Make a process ready for tasks."""
    # Tasks are what runs side by side, so that no library need start threads for one of them.
    for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
        os.environ[name] = "1"


def done(packed: bytes) -> Any:
    """Return what a packed task comes to; whatever it raises can go to another process.

    Raises
    ------
    BadInput, OutOfTime
        As the task does.
    Fault
        If it went wrong in any other way.
    """
    try:
        task, args = pickle.loads(packed)
        return task(*args)
    except (BadInput, OutOfTime):
        raise
    except Exception as fault:
        raise Fault(f"{type(fault).__name__}: {fault}") from None


@dataclass(frozen=True)
class Shelf:
    """A catalogue as it is to be read.

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
    """

    digest: str
    name: str
    path: Path
    currency: str | None = None
    skip_bad_rows: bool = False


@lru_cache(_CATALOGUES_HELD)
def catalogue_of(shelf: Shelf) -> Catalogue:
    """Return a catalogue, read once.

    Raises
    ------
    BadInput
        If it is not usable.
    """
    return read_catalogue(
        shelf.path,
        currency=shelf.currency,
        skip_bad_rows=shelf.skip_bad_rows,
        name=shelf.name,
    )
