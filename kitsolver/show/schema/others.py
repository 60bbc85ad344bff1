"""The types of a kit compared with the best one, and of what `others` writes."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from kitsolver.show.schema.record import Record


class SideRecord(Record):
    """The figures of a kit, and the skus in which it differs from another."""

    payable: str
    quality: float
    extras_quality: float
    skus: list[str]
    came: list[str] | None = None
    went: list[str] | None = None


class ReachedRecord(SideRecord):
    """A kit that a higher cap would bring."""

    cap: str
    missing: str


class InsteadRecord(Record):
    """The best kits without one line of the kit."""

    sku: str
    line_total: str
    replaced: SideRecord | None
    given_up: SideRecord | None


class OthersRecord(Record):
    """The best kit, and others that come close."""

    schema_: Literal["kitsolver/others/1"] = Field(alias="schema")
    title: str
    currency: str
    cap: str
    best: SideRecord
    others: list[SideRecord]
    complete: bool
    out_of_reach: list[ReachedRecord]
    lines: list[InsteadRecord] | None = None
    brief: dict[str, Any]
