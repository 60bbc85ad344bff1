"""The jobs of a batch: briefs from TOML files, and from CSV files whose rows vary a base brief."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from kitsolver.batch import batch_findings
from kitsolver.batch.table import read_table
from kitsolver.brief import brief_findings
from kitsolver.brief.brief import Brief
from kitsolver.brief.file_names import unusable_because
from kitsolver.brief.option_places import at_options
from kitsolver.brief.reading import read_brief
from kitsolver.shop.findings import BadInput, Finding
from kitsolver.shop.source import Source as Rows
from kitsolver.shop.sources.source_address import SourceAddress

# The name of the file about all briefs, which no brief may have.
_TAKEN = "batch"


@dataclass(frozen=True)
class Source:
    """Where a brief is written.

    Parameters
    ----------
    file : str
        The TOML file: the brief's own, or the base that a row varies.
    table : str
        The CSV file; blank without one.
    row : int, optional
        The row of the CSV file.
    keys : tuple of str
        The keys that the row sets, and no option of the command line replaces.
    sets : tuple of str
        The overrides that options of the command line bring.
    """

    file: str
    table: str = ""
    row: int | None = None
    keys: tuple[str, ...] = ()
    sets: tuple[str, ...] = ()

    @property
    def place(self) -> str:
        """The file, and the row if there is one, as people read it."""
        file = SourceAddress(self.table or self.file)
        return f"{file}, row {self.row}" if self.table else str(file)

    def located(self, finding: Finding) -> Finding:
        """Return a finding of the brief, naming the row or the option that brought the value."""
        if self.table and finding.file == self.file:
            column = finding.column
            if column is None or any(_related(column, key) for key in self.keys):
                return replace(finding, file=self.table, row=self.row)
        return at_options([finding], self.file, self.sets)[0]


@dataclass(frozen=True)
class Job:
    """One brief of a batch: its name, its source, the brief itself, and its findings.

    `home` are the rows of the home list that it names.
    """

    name: str
    source: Source
    brief: Brief | None = None
    home: Rows | None = None
    findings: tuple[Finding, ...] = ()

    @property
    def usable(self) -> bool:
        """Whether it can be run."""
        return self.brief is not None and all(finding.warning for finding in self.findings)

    def with_findings(self, findings: Iterable[Finding]) -> Job:
        """Return the same job with further findings, each with its place."""
        every = (*self.findings, *map(self.source.located, findings))
        return replace(self, findings=every)


def read_jobs(briefs: Sequence[str], base: str | None, sets: Sequence[str]) -> list[Job]:
    """Return the jobs of some files, in the order asked.

    Parameters
    ----------
    briefs : sequence of str
        TOML files, and CSV files (by their ending) whose rows vary the base.
    base : str, optional
        The base brief, a TOML file.
    sets : sequence of str
        Overrides for all of them, ``needs.fabric.max_price=14.00``.

    Raises
    ------
    BadInput
        If a CSV file or the base cannot be used at all, an override is malformed, or two briefs
        have the same name. What is wrong with one brief only is among its job's findings.
    """
    jobs = [job for file in briefs for job in _jobs(file, base, sets)]
    if findings := [*_unusable_names(jobs), *_repeated_names(jobs)]:
        raise BadInput(findings)
    return jobs


def is_table(file: str) -> bool:
    """Tell whether a file is a CSV of briefs, by its ending."""
    return Path(file).suffix.lower() == ".csv"


def _jobs(file: str, base: str | None, sets: Sequence[str]) -> Iterator[Job]:
    if not is_table(file):
        yield _read(Job(Path(str(SourceAddress(file))).stem, Source(file, sets=tuple(sets))), sets)
        return
    if base is None:
        raise BadInput([batch_findings.NoBaseBrief(file=file)])
    overridden = [setting.partition("=")[0].strip() for setting in sets]
    for row in read_table(file, base, sets):
        keys = [key for key in row.cells if not any(_related(key, other) for other in overridden)]
        job = Job(row.name, Source(base, file, row.number, tuple(keys), tuple(sets)))
        if row.findings:
            yield replace(job, findings=row.findings)
        else:
            changes = (f"{key}={cell}" for key, cell in row.cells.items())
            yield _read(job, (*changes, *sets))


def _read(job: Job, sets: Iterable[str]) -> Job:
    """Return a job with its brief, or with what is wrong with it."""
    try:
        return replace(job, brief=read_brief(job.source.file, sets=sets))
    except BadInput as bad:
        # A malformed option is malformed for every brief: it is told once.
        malformed = (brief_findings.NotASetting, brief_findings.UnusableSetting)
        if any(isinstance(finding, malformed) for finding in bad.findings):
            raise
        return job.with_findings(bad.findings)


def _related(key: str, other: str) -> bool:
    """Tell whether one of two dotted keys leads to the other."""
    return f"{key}.".startswith(f"{other}.") or f"{other}.".startswith(f"{key}.")


def _unusable_names(jobs: Iterable[Job]) -> Iterator[Finding]:
    for job in jobs:
        if job.name.casefold() == _TAKEN:
            yield _named(
                batch_findings.UnusableBriefName, job, f"{_TAKEN}.json is the file about all briefs"
            )
        elif detail := unusable_because(job.name):
            yield _named(batch_findings.UnusableBriefName, job, detail)


def _repeated_names(jobs: Iterable[Job]) -> Iterator[Finding]:
    bearers: dict[str, list[Job]] = {}
    for job in jobs:
        bearers.setdefault(job.name.casefold(), []).append(job)
    for first, *others in bearers.values():
        if others:
            places = ", ".join(job.source.place for job in (first, *others))
            yield _named(batch_findings.RepeatedBriefName, first, places)


def _named(kind: type[Finding], job: Job, detail: str) -> Finding:
    """Return a finding about a job's name."""
    source = job.source
    file, column = (source.table, "brief") if source.table else (source.file, None)
    return kind(file=file, row=source.row, column=column, value=job.name, detail=detail)
