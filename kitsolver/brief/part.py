"""The base of the brief's tables, and how their keys are described."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pydantic import BaseModel, ConfigDict, Field


class Part(BaseModel):
    """A table of a brief: frozen, and unknown keys are refused."""

    # Only the brief itself needs a validator of its own, and building each takes a while.
    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)


def key(
    default: Any,
    meaning: str,
    *,
    example: Any,
    unit: str = "",
    default_factory: Callable[[], Any] | None = None,
) -> Any:
    """Return the field of a key of the brief.

    Parameters
    ----------
    default : object
        The value of a key that is left out; ``...`` for a key that must be there.
    meaning : str
        What the key asks for, as a sentence.
    example : object
        A value as a brief may give it.
    unit : str
        The unit of a number.
    default_factory : callable, optional
        Makes the default, in place of `default`, where that takes a validator.
    """
    described: dict[str, Any] = {"description": meaning, "examples": [example]}
    if unit:
        described["json_schema_extra"] = {"unit": unit}
    if default_factory is not None:
        return Field(default_factory=default_factory, **described)
    return Field(default, **described)
