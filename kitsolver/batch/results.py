"""The result of a batch: a row a brief, as JSON and as CSV."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass

from kitsolver.batch.jobs import Job
from kitsolver.batch.work import Ended
from kitsolver.shop.findings import Finding
from kitsolver.shop.money import to_text
from kitsolver.show.csv_text import csv_text
from kitsolver.show.json_record import JsonObject, finding_record

_FIGURES = ("currency", "cap", "payable", "left", "quality", "extras_quality")
_COLUMNS = ("brief", "status", *_FIGURES, "skus", "detail")


@dataclass(frozen=True)
class Batch:
    """What became of many briefs.

    Parameters
    ----------
    catalogue : str
        The catalogue's file.
    rows : tuple of dict
        One a brief, in the order asked, as JSON has them.
    before : int
        How many were done by an earlier run.
    """

    catalogue: str
    rows: tuple[JsonObject, ...]
    before: int = 0

    def count(self, status: Ended) -> int:
        """Return how many briefs ended so."""
        return sum(row["status"] == status for row in self.rows)

    @property
    def record(self) -> JsonObject:
        """The record of the whole, schema ``kitsolver/batch/1``."""
        return {
            "schema": "kitsolver/batch/1",
            "catalogue": self.catalogue,
            "briefs": list(self.rows),
        }

    @property
    def table(self) -> str:
        """The rows as CSV (RFC 4180); skus are parted by ``;``."""
        cells = (row | {"skus": ";".join(row["skus"])} for row in self.rows)
        return csv_text(_COLUMNS, ([row[column] for column in _COLUMNS] for row in cells))


def row_of_kit(job: Job, text: str) -> JsonObject:
    """Return the row of a brief that ran, from its result as it is written."""
    record = json.loads(text)
    return {
        "brief": job.name,
        "status": record["status"],
        **{key: record[key] for key in _FIGURES},
        "skus": [line["sku"] for line in record["lines"]],
        "detail": " ".join(record.get("why", {}).get("because", ())),
        "findings": [finding_record(finding) for finding in job.findings],
    }


def row_without_result(job: Job, ended: Ended, fault: str = "") -> JsonObject:
    """Return the row of a brief that did not run to an end."""
    figures: JsonObject = dict.fromkeys(_FIGURES)
    if job.brief is not None:
        currency = job.brief.currency
        figures |= {"currency": currency, "cap": to_text(job.brief.total_cap, currency)}
    return {
        "brief": job.name,
        "status": str(ended),
        **figures,
        "skus": [],
        "detail": fault or _told(job.findings),
        "findings": [finding_record(finding) for finding in job.findings],
    }


def _told(findings: Iterable[Finding]) -> str:
    return "; ".join(f"{f.place}: {f.sentence}" for f in findings if not f.warning)
