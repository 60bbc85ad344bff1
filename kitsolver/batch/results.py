"""The result of a batch: one row for each brief, as JSON and as CSV."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass

from kitsolver.batch.jobs import Job
from kitsolver.batch.work import BriefStatus
from kitsolver.shop.findings import Finding
from kitsolver.shop.money import to_text
from kitsolver.shop.skipped import NOT_COUNTED, RowCounts
from kitsolver.show.csv_text import csv_text
from kitsolver.show.json_record import JsonObject, finding_record, skipped_records
from kitsolver.show.notebook import table_html

_FIGURES = ("currency", "cap", "payable", "left", "quality", "extras_quality")
_COLUMNS = ("brief", "status", *_FIGURES, "skus", "detail")


@dataclass(frozen=True)
class Batch:
    """The results of many briefs.

    Parameters
    ----------
    catalogue : str
        The catalogue's file or masked address.
    rows : tuple of dict
        One for each brief, in the order asked, as they stand in the JSON.
    done_before : int
        How many briefs were done by an earlier run.
    row_counts : RowCounts
        The rows of the catalogue, as it was read for the first currency.
    """

    catalogue: str
    rows: tuple[JsonObject, ...]
    done_before: int = 0
    row_counts: RowCounts = NOT_COUNTED

    def _repr_html_(self) -> str:
        columns = ("brief", "status", "payable", "quality", "skus", "detail")
        rows = [
            ["" if row[column] is None else str(row[column]) for column in columns]
            for row in (each | {"skus": ", ".join(each["skus"])} for each in self.rows)
        ]
        return table_html(columns, rows)

    def count(self, status: BriefStatus) -> int:
        """Return how many briefs have a status."""
        return sum(row["status"] == status for row in self.rows)

    @property
    def record(self) -> JsonObject:
        """The record of the whole, schema ``kitsolver/batch/1``."""
        return {
            "schema": "kitsolver/batch/1",
            "catalogue": self.catalogue,
            "briefs": list(self.rows),
            "skipped": skipped_records(self.row_counts),
        }

    @property
    def table(self) -> str:
        """The rows as CSV (RFC 4180); skus are parted by ``;``."""
        cells = (row | {"skus": ";".join(row["skus"])} for row in self.rows)
        return csv_text(_COLUMNS, ([row[column] for column in _COLUMNS] for row in cells))


def row_of_kit(job: Job, text: str) -> JsonObject:
    """Return the row of a brief that has a result, from the text of the result."""
    record = json.loads(text)
    return {
        "brief": job.name,
        "status": record["status"],
        **{key: record[key] for key in _FIGURES},
        "skus": [line["sku"] for line in record["lines"]],
        "detail": " ".join(record.get("why", {}).get("because", ())),
        "findings": [finding_record(finding) for finding in job.findings],
    }


def row_without_result(job: Job, status: BriefStatus, fault: str = "") -> JsonObject:
    """Return the row of a brief that has no result."""
    figures: JsonObject = dict.fromkeys(_FIGURES)
    if job.brief is not None:
        currency = job.brief.currency
        figures |= {"currency": currency, "cap": to_text(job.brief.total_cap, currency)}
    return {
        "brief": job.name,
        "status": str(status),
        **figures,
        "skus": [],
        "detail": fault or _error_text(job.findings),
        "findings": [finding_record(finding) for finding in job.findings],
    }


def _error_text(findings: Iterable[Finding]) -> str:
    return "; ".join(f"{f.place}: {f.sentence}" for f in findings if not f.warning)
