"""The type of a ladder."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from kitsolver.show.schema.no_kit import NoKitRecord
from kitsolver.show.schema.record import Record


class RungRecord(Record):
    """One rung of a ladder."""

    cap: str
    payable: str
    quality: float
    extras_quality: float
    skus: list[str]
    came: list[str]
    went: list[str]


class LadderRecord(Record):
    """Every rung between two caps."""

    schema_: Literal["kitsolver/ladder/1"] = Field(alias="schema")
    title: str
    currency: str
    from_: str = Field(alias="from")
    to: str
    proven_from: str
    rungs: list[RungRecord]
    why: NoKitRecord | None = None
    brief: dict[str, Any]
