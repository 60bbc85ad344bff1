"""The base of every type of a result: a JSON object whose keys are all known and described."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

# The default of a key that is always there.
ALWAYS: Any = ...


class Record(BaseModel):
    """A JSON object of a result. Unknown keys are refused, and values do not change."""

    model_config = ConfigDict(extra="forbid", frozen=True)


def key(meaning: str, default: Any = ALWAYS, *, written: str | None = None) -> Any:
    """Return the field of a key of a result.

    Parameters
    ----------
    meaning : str
        What its value says, as a sentence.
    default : object
        The value where the key is not there; `ALWAYS` if it always is.
    written : str, optional
        The key in the JSON, where that is not the field's name.
    """
    return Field(default, description=meaning, alias=written)


def schema_key() -> Any:
    """Return the field of the key ``schema``."""
    return key("The name and version of this form.", written="schema")


def brief_key() -> Any:
    """Return the field of the key ``brief``."""
    return key("The brief, complete with its defaults.")


def skipped_key() -> Any:
    """Return the field of the key ``skipped``."""
    return key("The rows of the catalogue's source that were not offered; empty if all were.")


def names_key() -> Any:
    """Return the field of the key ``names``."""
    return key("The name of each row that the result names by its sku.")


def why_key() -> Any:
    """Return the field of the key ``why``, which is there only where there is no kit."""
    return key("Why there is no kit; only where there is none.", None)


class SkippedRecord(Record):
    """Rows of one category that no result knows of, for one reason."""

    kind: Literal["refused", "passed over"] = key(
        "`refused` for their errors, or `passed over` as the map of columns says."
    )
    category: str = key("Their category; blank where they name none that can be read.")
    rows: int = key("How many they are.")
