"""A brief as text: as settings, key by key, and as a TOML file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal
from functools import lru_cache
from typing import Any

import tomli_w

from kitsolver.brief.brief import Brief
from kitsolver.brief.own_rules import RULE_LISTS
from kitsolver.brief.settings import key_text, list_text, parse_value, plain_number, value_text


def non_defaults(brief: Brief) -> dict[str, Any]:
    """Return what a brief says other than its defaults, as data that reads as the same brief."""
    data = brief.model_dump()
    for kind in RULE_LISTS:
        data[kind] = [rule.model_dump(exclude_defaults=True) for rule in getattr(brief, kind)]
    return _different(data, _defaults(brief.currency, brief.holds))


@lru_cache(64)
def _defaults(currency: str, holds: tuple[str, ...]) -> Mapping[str, Any]:
    """Return what a brief with some needs says by default; it says no currency and no cap."""
    found = Brief.model_validate({"currency": currency, "cap": 0, "holds": holds}).model_dump()
    for key in ("currency", "cap"):
        del found[key]
    found["holds"] = Brief.model_fields["holds"].default
    return found | {kind: [] for kind in RULE_LISTS}


def _different(data: Mapping[str, Any], defaults: Mapping[str, Any]) -> dict[str, Any]:
    """Return the values that are not the defaults, tables within tables likewise."""
    found: dict[str, Any] = {}
    for key, value in data.items():
        default = defaults.get(key)
        if value is None or (value == default and key in defaults):
            continue
        if isinstance(value, dict) and isinstance(default, dict):
            value = _different(value, default)
        found[str(key)] = _as_toml_has_it(value)
    return found


def _as_toml_has_it(value: Any) -> Any:
    """Return a value with keys that are text, lists that are lists, and nothing that is None."""
    if isinstance(value, dict):
        return {
            format(key, "f") if isinstance(key, Decimal) else str(key): _as_toml_has_it(held)
            for key, held in value.items()
            if held is not None
        }
    if isinstance(value, (list, tuple)):
        return [_as_toml_has_it(held) for held in value]
    return value


def settings_of(brief: Brief) -> Iterator[tuple[str, str]]:
    """Yield the key and the value of each setting that makes this brief of the defaults."""
    yield from _flat(non_defaults(brief), ())


def _flat(data: Mapping[str, Any], path: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """Yield the keys and values of tables within tables; an empty table is a value."""
    for name, value in data.items():
        here = (*path, name)
        if isinstance(value, dict) and value:
            yield from _flat(value, here)
        else:
            yield key_text(here), _value_text(value)


def _value_text(value: Any) -> str:
    """Return a value as settings take it: text without quotes, unless it would read otherwise."""
    if isinstance(value, Decimal):
        return format(value, "f")
    if isinstance(value, str) and parse_value(value) == value:
        return value
    return list_text(value) if isinstance(value, str) else value_text(value)


def toml_of(brief: Brief) -> str:
    """Return a brief as TOML text that reads as the same brief."""
    return tomli_w.dumps(toml_data(non_defaults(brief)))


def toml_data(value: Any) -> Any:
    """Return a value as TOML has it: numbers in lists as such, sums and rates as text."""
    if isinstance(value, dict):
        return {key: toml_data(held) for key, held in value.items()}
    if isinstance(value, list):
        return [
            plain_number(held) if isinstance(held, Decimal) else toml_data(held) for held in value
        ]
    # Sums and rates are text, so that no program takes them for what binary makes of them.
    return format(value, "f") if isinstance(value, Decimal) else value
