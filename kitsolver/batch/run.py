"""The steps of a batch, from the files to a folder of results."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, replace
from importlib.metadata import version
from pathlib import Path
from typing import TYPE_CHECKING

from kitsolver.batch.jobs import Job, read_jobs
from kitsolver.batch.ledger import OUT_OF_TIME, Ledger, fingerprint_of, sha256
from kitsolver.batch.results import Batch, row_of_kit, row_without_result
from kitsolver.batch.work import (
    FAILED,
    BriefStatus,
    Executor,
    Task,
    TaskResult,
    WorkerContext,
)
from kitsolver.brief.home_source import read_home
from kitsolver.brief.validate_against import validate_against
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.findings import BadInput, Finding
from kitsolver.shop.home.home_reading import with_home
from kitsolver.shop.reading import catalogue_of
from kitsolver.shop.skipped import NOT_COUNTED
from kitsolver.shop.source import Source, read_source
from kitsolver.shop.sources.source_address import SourceAddress
from kitsolver.show.json_record import JsonObject, json_text

if TYPE_CHECKING:
    from kitsolver.shop.maps.mapping import ColumnMap

TABLE, RECORD = "results.csv", "batch.json"


@dataclass(frozen=True)
class BatchRequest:
    """What a batch is asked to do.

    Parameters
    ----------
    catalogue : str
        The source of the catalogue.
    briefs : sequence of str
        TOML files, and CSV files whose rows vary the base.
    out : str
        The folder of results.
    base : str, optional
        The base brief, a TOML file.
    sets : sequence of str
        Overrides for every brief.
    seconds : float, optional
        Time limit of one brief.
    skip_bad_rows : bool
        Whether to go on without the catalogue's rows that have findings.
    mapping : ColumnMap, optional
        How the catalogue's headers and values become ours.
    """

    catalogue: str
    briefs: Sequence[str]
    out: str
    base: str | None = None
    sets: Sequence[str] = ()
    seconds: float | None = None
    skip_bad_rows: bool = False
    mapping: ColumnMap | None = None
    home: str | None = None
    home_columns: str | None = None


@dataclass(frozen=True)
class BatchStart:
    """What is known when the work begins.

    Parameters
    ----------
    findings : tuple of Finding
        What was found in the catalogue and the briefs.
    done_before : int
        How many briefs were done by an earlier run.
    tasks : int
        How many are to be done.
    """

    findings: tuple[Finding, ...]
    done_before: int
    tasks: int


def run(
    request: BatchRequest,
    executor: Executor,
    started: Callable[[BatchStart], None] = lambda _: None,
    brief_done: Callable[[], None] = lambda: None,
) -> Batch:
    """Run every brief that is not done yet, and write the results.

    Parameters
    ----------
    executor : Executor
        What does the work; the results do not depend on it.
    started : callable
        Called when the work begins.
    brief_done : callable
        Called after each brief.

    Raises
    ------
    BadInput
        If no brief can be run, or a result cannot be written. What is wrong with one brief only
        stands in its row of the result.
    """
    jobs = read_jobs(request.briefs, request.base, request.sets)
    if any(job.brief for job in jobs):
        source = read_source(request.catalogue, mapping=request.mapping, keep_bytes=True)
        context, jobs = _check_catalogue(request, source, jobs)
        fingerprints = _fingerprints(request, source, jobs)
    else:
        context, fingerprints = WorkerContext({}, request.seconds), {}
    ledger = Ledger(Path(request.out), (TABLE, RECORD))
    rows: dict[str, JsonObject] = {}
    left: dict[str, Job] = {}
    for job in jobs:
        if not job.usable:
            rows[job.name] = row_without_result(job, BriefStatus.BAD_INPUT)
        elif (text := ledger.done(job.name, fingerprints[job.name])) is not None:
            rows[job.name] = row_of_kit(job, text)
        else:
            left[job.name] = job
    done_before = sum(job.usable for job in jobs) - len(left)
    started(BatchStart(_findings(context, jobs), done_before, len(left)))

    tasks = [
        Task(name, job.source.file, job.brief, job.home) for name, job in left.items() if job.brief
    ]
    if tasks:
        # Ctrl-C must end the workers at once, not when the generator is collected.
        with closing(executor(context, tasks)) as results:
            for result in results:
                row = rows[result.name] = _row(left[result.name], result)
                if result.text:
                    # The next run tries again what may be left out for want of time.
                    status = OUT_OF_TIME if result.out_of_time else row["status"]
                    ledger.write(result.name, status, fingerprints[result.name], result.text)
                brief_done()
    ledger.withdraw(name for name, row in rows.items() if row["status"] in FAILED)
    catalogue = str(SourceAddress(request.catalogue))
    counts = next((each.row_counts for each in context.catalogues.values()), NOT_COUNTED)
    batch = Batch(catalogue, tuple(rows[job.name] for job in jobs), done_before, counts)
    ledger.finish({TABLE: batch.table, RECORD: json_text(batch.record)})
    return batch


def _check_catalogue(
    request: BatchRequest, source: Source, jobs: Sequence[Job]
) -> tuple[WorkerContext, list[Job]]:
    """Check the catalogue for each currency asked for, and every brief against it.

    Raises
    ------
    BadInput
        If the catalogue can be used for no brief.
    """
    catalogues: dict[str, Catalogue] = {}
    refused: dict[str, BadInput] = {}
    for currency in dict.fromkeys(job.brief.currency for job in jobs if job.brief):
        try:
            catalogues[currency] = catalogue_of(
                source, currency=currency, skip_bad_rows=request.skip_bad_rows
            )
        except BadInput as bad:
            refused[currency] = bad
    if refused and not catalogues:
        raise next(iter(refused.values()))
    context = WorkerContext(catalogues, request.seconds, request.skip_bad_rows)
    return context, [_checked(job, request, catalogues, refused) for job in jobs]


def _checked(
    job: Job,
    request: BatchRequest,
    catalogues: Mapping[str, Catalogue],
    refused: Mapping[str, BadInput],
) -> Job:
    """Return a job with its home list, and with what is wrong with both for this catalogue."""
    if job.brief is None:
        return job
    currency = job.brief.currency
    if currency in refused:
        return job.with_findings(refused[currency].findings)
    try:
        brief, home = read_home(
            job.brief,
            folder=Path(job.source.file).parent,
            home=request.home,
            home_columns=request.home_columns,
        )
        job, catalogue = replace(job, brief=brief, home=home), catalogues[currency]
        if home is not None:
            catalogue, of_list = with_home(
                catalogue,
                home,
                quality=brief.home.quality,
                skip_bad_rows=request.skip_bad_rows,
            )
            job = job.with_findings(of_list)
        findings = validate_against(brief, catalogue, job.source.file)
    except BadInput as bad:
        findings = bad.findings
    return job.with_findings(findings)


def _fingerprints(request: BatchRequest, source: Source, jobs: Iterable[Job]) -> dict[str, str]:
    """Return for each usable brief the fingerprint of all that its result depends on."""
    usable = [job for job in jobs if job.usable and job.brief]
    if not usable:
        return {}
    catalogue = sha256(source.csv_bytes)
    options = repr((version("kitsolver"), request.seconds, request.skip_bad_rows))
    found = {}
    for job in usable:
        home = sha256(job.home.csv_bytes) if job.home is not None else ""
        if job.brief is not None:
            found[job.name] = fingerprint_of(f"{catalogue}{home}", options, job.brief)
    return found


def _findings(context: WorkerContext, jobs: Iterable[Job]) -> tuple[Finding, ...]:
    """Return each finding once."""
    of_catalogue = (found for each in context.catalogues.values() for found in each.findings)
    of_briefs = (found for job in jobs for found in job.findings)
    return tuple(dict.fromkeys((*of_catalogue, *of_briefs)))


def _row(job: Job, result: TaskResult) -> JsonObject:
    if result.text:
        return row_of_kit(job, result.text)
    if result.fault:
        return row_without_result(job, BriefStatus.FAULT, result.fault)
    return row_without_result(job.with_findings(result.findings), BriefStatus.BAD_INPUT)
