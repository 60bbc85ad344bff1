"""One job to one record, in whatever process it is done."""

from __future__ import annotations

from collections.abc import Callable, Generator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from threading import Lock

from kitsolver.brief.brief import Brief
from kitsolver.brief.brief_findings import TimeLimitTooShort
from kitsolver.explain.answer import answer
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.findings import BadInput, Finding
from kitsolver.show.json_record import json_text
from kitsolver.show.kit_record import record_of
from kitsolver.solve.time_limit import OutOfTime


class Ended(StrEnum):
    """How one brief of a batch ended."""

    BEST = "best"
    BEST_SO_FAR = "best so far"
    NO_KIT = "no kit"
    BAD_INPUT = "bad input"
    FAULT = "fault"


# Without a result.
FAILED = (Ended.BAD_INPUT, Ended.FAULT)


@dataclass(frozen=True)
class Shop:
    """What every worker is given once.

    Parameters
    ----------
    catalogues : mapping of str to Catalogue
        The catalogue, checked against each currency that is asked for.
    seconds : float, optional
        Time limit of one brief.
    """

    catalogues: Mapping[str, Catalogue]
    seconds: float | None = None


@dataclass(frozen=True)
class Task:
    """A brief that can be run, by the name and the file it goes by."""

    name: str
    file: str
    brief: Brief


@dataclass(frozen=True)
class Worked:
    """What became of a task.

    Parameters
    ----------
    text : str
        The kit's record as JSON; blank if there is none.
    findings : tuple of Finding
        What the user can mend.
    fault : str
        What the program did wrong.
    """

    name: str
    text: str = ""
    findings: tuple[Finding, ...] = ()
    fault: str = ""


# A way to have tasks done by several workers: yields what became of each, in any order.
Spread = Callable[[Shop, Sequence[Task]], Generator[Worked, None, None]]

# A worker may be a thread among others, and solvers turn the whole process's output aside.
_one_at_a_time = Lock()


def worked(shop: Shop, task: Task) -> Worked:
    """Return what becomes of a task; a fault is told, never raised."""
    try:
        with _one_at_a_time:
            goods = shop.catalogues[task.brief.currency]
            outcome, why = answer(goods, task.brief, seconds=shop.seconds)
        return Worked(task.name, json_text(record_of(outcome, why)))
    except BadInput as bad:
        return Worked(task.name, findings=bad.findings)
    except OutOfTime:
        return Worked(task.name, findings=(TimeLimitTooShort(file=task.file),))
    except Exception as fault:
        return Worked(task.name, fault=f"{type(fault).__name__}: {fault}")
