"""The whole way of a batch: from files to a folder of results."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path

from kitsolver.batch.jobs import Job, read_jobs
from kitsolver.batch.ledger import Ledger, fingerprint, sha256
from kitsolver.batch.results import Batch, row_of_kit, row_without_result
from kitsolver.batch.work import FAILED, Ended, Shop, Spread, Task, Worked
from kitsolver.brief.validate_against import validate_against
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.findings import BadInput, Finding
from kitsolver.shop.mapping import ColumnMap
from kitsolver.shop.reading import read_catalogue
from kitsolver.shop.sources import bytes_of
from kitsolver.show.json_record import JsonObject, json_text

TABLE, RECORD = "results.csv", "batch.json"


@dataclass(frozen=True)
class Asked:
    """What a batch is asked to do.

    Parameters
    ----------
    catalogue : str
        The shop's CSV file.
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


@dataclass(frozen=True)
class Begun:
    """What is known before the work: what is wrong, what is done already, what is to be done."""

    findings: tuple[Finding, ...]
    before: int
    tasks: int


def run(
    asked: Asked,
    spread: Spread,
    begun: Callable[[Begun], None] = lambda _: None,
    step: Callable[[], None] = lambda: None,
) -> Batch:
    """Run every brief that is not done yet, and write the results.

    Parameters
    ----------
    spread : Spread
        Who does the work; the results do not depend on it.
    begun, step : callable
        Told what is to be done, and of each brief when it is done.

    Raises
    ------
    BadInput
        If nothing can be run, or a result cannot be written. What is wrong with one brief is a row
        of the result.
    """
    shop, jobs = _held(asked, read_jobs(asked.briefs, asked.base, asked.sets))
    answers = _answers(asked, jobs)
    ledger = Ledger(Path(asked.out), (TABLE, RECORD))
    rows: dict[str, JsonObject] = {}
    left: dict[str, Job] = {}
    for job in jobs:
        if not job.usable:
            rows[job.name] = row_without_result(job, Ended.BAD_INPUT)
        elif (text := ledger.done(job.name, answers[job.name])) is not None:
            rows[job.name] = row_of_kit(job, text)
        else:
            left[job.name] = job
    before = sum(job.usable for job in jobs) - len(left)
    begun(Begun(_findings(shop, jobs), before, len(left)))

    tasks = [Task(name, job.source.file, job.brief) for name, job in left.items() if job.brief]
    if tasks:
        # An interruption is to end the workers at once, not when they are next asked.
        with closing(spread(shop, tasks)) as every:
            for done in every:
                rows[done.name] = _row(left[done.name], done)
                if done.text:
                    status = rows[done.name]["status"]
                    ledger.write(done.name, status, answers[done.name], done.text)
                step()
    ledger.withdraw(name for name, row in rows.items() if row["status"] in FAILED)
    batch = Batch(asked.catalogue, tuple(rows[job.name] for job in jobs), before)
    ledger.finish({TABLE: batch.table, RECORD: json_text(batch.record)})
    return batch


def _held(asked: Asked, jobs: Sequence[Job]) -> tuple[Shop, list[Job]]:
    """Read the catalogue, once for each currency asked for, and hold every brief against it.

    Raises
    ------
    BadInput
        If the catalogue is of use to no brief.
    """
    catalogues: dict[str, Catalogue] = {}
    refused: dict[str, BadInput] = {}
    for currency in dict.fromkeys(job.brief.currency for job in jobs if job.brief):
        try:
            catalogues[currency] = read_catalogue(
                asked.catalogue,
                currency=currency,
                skip_bad_rows=asked.skip_bad_rows,
                mapping=asked.mapping,
            )
        except BadInput as bad:
            refused[currency] = bad
    if refused and not catalogues:
        raise next(iter(refused.values()))
    shop = Shop(catalogues, asked.seconds)
    return shop, [_held_against(job, shop, refused) for job in jobs]


def _held_against(job: Job, shop: Shop, refused: Mapping[str, BadInput]) -> Job:
    if job.brief is None:
        return job
    currency = job.brief.currency
    if currency in refused:
        return job.with_findings(refused[currency].findings)
    try:
        findings = validate_against(job.brief, shop.catalogues[currency], job.source.file)
    except BadInput as bad:
        findings = bad.findings
    return job.with_findings(findings)


def _answers(asked: Asked, jobs: Iterable[Job]) -> dict[str, str]:
    """Return for each usable brief the fingerprint of what its result will be the answer to."""
    usable = [(job.name, job.brief) for job in jobs if job.usable and job.brief]
    if not usable:
        return {}
    catalogue = sha256(bytes_of(asked.catalogue, asked.mapping))
    options = repr((version("kitsolver"), asked.seconds, asked.skip_bad_rows))
    return {name: fingerprint(catalogue, options, brief) for name, brief in usable}


def _findings(shop: Shop, jobs: Iterable[Job]) -> tuple[Finding, ...]:
    """Return everything found, once each."""
    of_shop = (finding for goods in shop.catalogues.values() for finding in goods.findings)
    of_jobs = (finding for job in jobs for finding in job.findings)
    return tuple(dict.fromkeys((*of_shop, *of_jobs)))


def _row(job: Job, done: Worked) -> JsonObject:
    if done.text:
        return row_of_kit(job, done.text)
    if done.fault:
        return row_without_result(job, Ended.FAULT, done.fault)
    return row_without_result(job.with_findings(done.findings), Ended.BAD_INPUT)
