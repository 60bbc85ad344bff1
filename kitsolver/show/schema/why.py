"""The type of the explanation of one sku."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from kitsolver.show.schema.no_kit import NoKitRecord
from kitsolver.show.schema.others import SideRecord
from kitsolver.show.schema.record import Record


class WhyRecord(Record):
    """Why a row is in the best kit, or why not."""

    schema_: Literal["kitsolver/why/1"] = Field(alias="schema")
    currency: str
    cap: str
    sku: str
    verdict: Literal["in the best kit", "beaten", "barred", "no kit"]
    barred: list[str]
    best: SideRecord | None
    with_it: SideRecord | None
    without: SideRecord | None
    price: str | None
    quality: float | None
    says: list[str]
    why: NoKitRecord | None
