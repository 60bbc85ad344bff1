"""One brief to one result; this is what a worker does."""

from __future__ import annotations

from collections.abc import Callable, Generator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from threading import Lock

from kitsolver.batch.batch_findings import TimeLimitTooShort
from kitsolver.brief.brief import Brief
from kitsolver.explain.answer import answer
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.findings import BadInput, Finding
from kitsolver.shop.home.home_reading import with_home
from kitsolver.shop.source import Source
from kitsolver.show.json_record import json_text
from kitsolver.show.kit_record import record_of
from kitsolver.solve.time_limit import OutOfTime, TimeLimit


class BriefStatus(StrEnum):
    """How one brief of a batch ended."""

    BEST = "best"
    BEST_SO_FAR = "best so far"
    NO_KIT = "no kit"
    BAD_INPUT = "bad input"
    FAULT = "fault"


# The statuses of briefs that have no result.
FAILED = (BriefStatus.BAD_INPUT, BriefStatus.FAULT)


@dataclass(frozen=True)
class WorkerContext:
    """What every worker is given once, before its first task.

    Parameters
    ----------
    catalogues : mapping of str to Catalogue
        The catalogue, checked against each currency that is asked for.
    seconds : float, optional
        Time limit of one brief.
    skip_bad_rows : bool
        Whether rows of home lists that have errors are left out.
    """

    catalogues: Mapping[str, Catalogue]
    seconds: float | None = None
    skip_bad_rows: bool = False


@dataclass(frozen=True)
class Task:
    """A brief to be picked for, its name, the file that findings name, and its home list."""

    name: str
    file: str
    brief: Brief
    home: Source | None = None


@dataclass(frozen=True)
class TaskResult:
    """The result of a task.

    Parameters
    ----------
    text : str
        The kit's record as JSON; blank if there is none.
    findings : tuple of Finding
        What is wrong with the input.
    fault : str
        What went wrong in the program; blank if nothing did.
    out_of_time : bool
        Whether the time limit passed on the way, so that something may be left out of the result.
    """

    name: str
    text: str = ""
    findings: tuple[Finding, ...] = ()
    fault: str = ""
    out_of_time: bool = False


# Does tasks with several workers, and yields their results in any order.
Executor = Callable[[WorkerContext, Sequence[Task]], Generator[TaskResult, None, None]]

# A cluster's worker may be one of several threads, and a solver redirects the output of the whole
# process.
_one_at_a_time = Lock()


def run_task(context: WorkerContext, task: Task) -> TaskResult:
    """Return the result of a task; a fault is part of the result, and never raised."""
    try:
        with _one_at_a_time:
            # Waiting for another task does not count.
            limit = TimeLimit(context.seconds)
            catalogue = context.catalogues[task.brief.currency]
            if task.home is not None:
                catalogue, _ = with_home(
                    catalogue,
                    task.home,
                    quality=task.brief.home.quality,
                    skip_bad_rows=context.skip_bad_rows,
                )
            outcome, why = answer(catalogue, task.brief, seconds=limit.left, validated=True)
        text = json_text(record_of(outcome, why))
        return TaskResult(task.name, text, out_of_time=limit.left == 0)
    except BadInput as bad:
        return TaskResult(task.name, findings=bad.findings)
    except OutOfTime:
        return TaskResult(task.name, findings=(TimeLimitTooShort(file=task.file),))
    except Exception as fault:
        return TaskResult(task.name, fault=f"{type(fault).__name__}: {fault}")
