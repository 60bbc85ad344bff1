"""The texts of paper and page. They stand in one file a room, ready to be translated."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from types import SimpleNamespace
from typing import Any


@cache
def texts(package: str) -> Any:
    """Return the texts of ``texts.toml`` of a package: its tables as objects, a text a field."""
    source = (files(package) / "texts.toml").read_text(encoding="utf-8")
    return _as_fields(tomllib.loads(source))


def _as_fields(value: Any) -> Any:
    if isinstance(value, dict):
        return SimpleNamespace(**{name: _as_fields(held) for name, held in value.items()})
    if isinstance(value, list):
        return [_as_fields(held) for held in value]
    return value
