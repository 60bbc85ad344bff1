"""The type of what `recheck` writes."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from kitsolver.show.schema.kit import CheckRecord
from kitsolver.show.schema.others import SideRecord
from kitsolver.show.schema.record import Record


class ChangeRecord(Record):
    """What changed about one row since a kit was saved."""

    sku: str
    what: str
    before: str
    now: str


class TodayRecord(Record):
    """A saved kit's figures today."""

    payable: str
    quality: float
    extras_quality: float


class SavedRecord(Record):
    """What a saved kit came to."""

    payable: str


class UnitsRecord(Record):
    """The units of one row before and now."""

    sku: str
    before: int
    now: int


class BesideRecord(SideRecord):
    """A kit beside the saved one."""

    units: list[UnitsRecord]


class RecheckRecord(Record):
    """Whether a saved kit stands today, and what would mend it."""

    schema_: Literal["kitsolver/recheck/1"] = Field(alias="schema")
    title: str
    currency: str
    stands: bool
    still_best: bool
    changes: list[ChangeRecord]
    checks: list[CheckRecord]
    saved: SavedRecord
    today: TodayRecord | None
    best: BesideRecord | None
    nearest: BesideRecord | None
    mend: BesideRecord | None
