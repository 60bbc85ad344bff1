"""The base of every type of a result: a JSON object whose keys are all known."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict


class Record(BaseModel):
    """A JSON object of a result. Unknown keys are refused, and values do not change."""

    model_config = ConfigDict(extra="forbid", frozen=True)
