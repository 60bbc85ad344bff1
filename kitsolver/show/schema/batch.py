"""The type of what `batch` writes of all briefs."""

from __future__ import annotations

from typing import Literal

from kitsolver.show.schema.findings import FindingRecord
from kitsolver.show.schema.record import Record, SkippedRecord, key, schema_key, skipped_key


class BriefRecord(Record):
    """How one brief of a batch ended; figures are null where there is no kit."""

    brief: str = key("The name of the brief.")
    status: Literal["best", "best so far", "no kit", "bad input", "fault"] = key(
        "How it ended; `fault` is the program's."
    )
    currency: str | None = key("The currency of its sums (ISO 4217).")
    cap: str | None = key("The most that is paid for the whole order.")
    payable: str | None = key("What is paid, all in.")
    left: str | None = key("What the cap leaves.")
    quality: float | None = key("The weighted mean quality of the needs, 0 to 100.")
    extras_quality: float | None = key("The sum of the extras' qualities.")
    skus: list[str] = key("The rows of the kit.")
    detail: str = key("Why there is no kit, or what is wrong; else blank.")
    findings: list[FindingRecord] = key("The findings of the brief.")


class BatchRecord(Record):
    """The results of many briefs."""

    schema_: Literal["kitsolver/batch/1"] = schema_key()
    catalogue: str = key("The catalogue's file, or its address without the password.")
    briefs: list[BriefRecord] = key("One for each brief, in the order asked.")
    skipped: list[SkippedRecord] = skipped_key()
