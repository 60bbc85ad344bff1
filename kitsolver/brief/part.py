"""The base of the brief's tables, and how their keys are described."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pydantic import BaseModel, ConfigDict, Field


class Part(BaseModel):
    """A table of a brief: frozen, and unknown keys are refused."""

    # Only the brief itself needs a validator of its own, and building each takes a while.
    # A key that is a keyword of Python has another name here, and is dumped under its own.
    model_config = ConfigDict(
        frozen=True, extra="forbid", defer_build=True, serialize_by_alias=True
    )


def key(
    default: Any,
    meaning: str,
    *,
    example: Any,
    unit: str = "",
    default_factory: Callable[[], Any] | None = None,
    written: str | None = None,
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
    written : str, optional
        The key as a brief has it, where that is a word of Python's, such as ``from``.
    """
    described: dict[str, Any] = {"description": meaning, "examples": [example]}
    if written is not None:
        described["alias"] = written
    if unit:
        described["json_schema_extra"] = {"unit": unit}
    if default_factory is not None:
        return Field(default_factory=default_factory, **described)
    return Field(default, **described)


def field_of(table: type[BaseModel], name: str) -> Any:
    """Return the field of a key, by the key as a brief has it; None if there is none."""
    return next((f for n, f in table.model_fields.items() if name == (f.alias or n)), None)


def keys_of(table: type[BaseModel]) -> list[str]:
    """Return the keys of a table as a brief has them."""
    return [field.alias or name for name, field in table.model_fields.items()]
