"""A brief key by key: read from settings such as ``needs.fabric.max_price=14.00``, and written."""

from __future__ import annotations

import copy
import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from decimal import Decimal
from typing import Any

import tomli_w

from kitsolver.brief import brief_findings
from kitsolver.brief.brief import Brief
from kitsolver.shop.findings import BadInput

_NUMBER = re.compile(r"[0-9]+(\.[0-9]+)?")


def parsed(text: str) -> dict[str, Any]:
    """Return TOML as data, floats by their written decimal.

    Raises
    ------
    ValueError
        If it is not well-formed, or has numbers or lists that no brief needs.
    """
    try:
        return tomllib.loads(text, parse_float=Decimal)
    except RecursionError:
        raise ValueError("lists or tables nest too deeply") from None


def changed(
    data: Mapping[str, Any], sets: Iterable[str], cap: str | None = None, source: str = "--set"
) -> dict[str, Any]:
    """Return a copy of a brief's data with some keys replaced.

    Parameters
    ----------
    data : mapping
        As parsed.
    sets : iterable of str
        Settings of the form ``key=value``; `source` is where they came from, for findings.
    cap : str, optional
        Replaces either cap key; for the whole order.

    Raises
    ------
    BadInput
        If something is no setting.
    """
    new = copy.deepcopy(dict(data))
    for setting in sets:
        _replace(new, setting, source)
    if cap is not None:
        new.pop("cap_per_head", None)
        new["cap"] = cap
    return new


def _replace(data: dict[str, Any], setting: str, source: str) -> None:
    """Replace the one key that a setting names."""
    path, new = _parted(setting)
    wrong = BadInput([brief_findings.NotASetting(file=source, value=setting)])
    table = data
    while True:
        if len(path) != 1:
            raise wrong
        ((name, path),) = path.items()
        if not isinstance(path, dict):
            break
        inner = table.get(name)
        table[name] = table = inner if isinstance(inner, dict) else {}
    if table is data and name in ("cap", "cap_per_head"):
        data.pop("cap", None)
        data.pop("cap_per_head", None)
    table[name] = new


def _parted(setting: str) -> tuple[Any, Any]:
    """Return the tables that a setting's key stands for, empty if it has none, and its value."""
    for sign in re.finditer("=", setting):
        # Within quotes a key may have the sign too.
        with suppress(ValueError):
            return parsed(f"{setting[: sign.start()]} = 0"), _value(setting[sign.end() :])
    return {}, None


def _value(text: str) -> Any:
    """Return a value of TOML, or text as it is."""
    try:
        values = parsed(f"x = {text}")
    except ValueError:
        return text.strip()
    # What goes on after its end is no value of TOML, but text.
    return values["x"] if len(values) == 1 else text.strip()


def setting(path: Sequence[str], value: Any) -> str:
    """Return a key and its value in the form ``key=value``; sums may be text, as in a dumped brief.

    Reading it again gives the same value.
    """
    return f"{_key(path)}={_written(value)}"


def _key(path: Sequence[str]) -> str:
    return ".".join(tomli_w.dumps({part: 0}).removesuffix(" = 0\n") for part in path)


def _written(value: Any) -> str:
    match value:
        case str() if _NUMBER.fullmatch(value):
            return value
        case dict():
            pairs = (f"{_key([str(key)])} = {_listed(held)}" for key, held in value.items())
            return f"{{ {', '.join(pairs)} }}" if value else "{}"
    return _listed(value)


def _listed(value: Any) -> str:
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(map(_listed, value))}]"
    if isinstance(value, Decimal):
        value = _number(value)
    return tomli_w.dumps({"x": value}).removeprefix("x = ").removesuffix("\n")


def _number(value: Decimal) -> int | float:
    whole = value == value.to_integral_value()
    return int(value) if whole else float(value)


def said(brief: Brief) -> dict[str, Any]:
    """Return what a brief says beside the defaults, as data that reads as the same brief."""
    plain = Brief.model_validate(
        {"currency": brief.currency, "cap": 0, "holds": brief.holds}
    ).model_dump()
    plain.pop("currency"), plain.pop("cap"), plain.pop("holds")
    usual = Brief.model_fields["holds"].default
    return _beside(brief.model_dump(), plain | {"holds": usual})


def _beside(data: Mapping[str, Any], plain: Mapping[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in data.items():
        usual = plain.get(key)
        if value is None or (value == usual and key in plain):
            continue
        if isinstance(value, dict) and isinstance(usual, dict):
            value = _beside(value, usual)
        found[str(key)] = _data(value)
    return found


def _data(value: Any) -> Any:
    """Return a value as TOML has it."""
    if isinstance(value, dict):
        return {_text(key): _data(held) for key, held in value.items() if held is not None}
    if isinstance(value, (list, tuple)):
        return [_data(held) for held in value]
    return value


def _text(key: Any) -> str:
    return format(key, "f") if isinstance(key, Decimal) else str(key)


def settings_of(brief: Brief) -> Iterator[tuple[str, str]]:
    """Yield key and value of all that a brief says beside the defaults, as settings take them."""
    yield from _leaves(said(brief), ())


def _leaves(data: Mapping[str, Any], path: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    for name, value in data.items():
        here = (*path, name)
        if isinstance(value, dict) and value:
            yield from _leaves(value, here)
        else:
            yield _key(here), _short(value)


def _short(value: Any) -> str:
    """Return a value as settings take it: text without quotes, unless it would read otherwise."""
    if isinstance(value, Decimal):
        return format(value, "f")
    if isinstance(value, str) and _value(value) == value:
        return value
    return _listed(value) if isinstance(value, str) else _written(value)


def toml_of(brief: Brief) -> str:
    """Return a brief as TOML text that reads as the same brief."""
    return tomli_w.dumps(_for_toml(said(brief)))


def _for_toml(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _for_toml(held) for key, held in value.items()}
    if isinstance(value, list):
        return [_number(held) if isinstance(held, Decimal) else _for_toml(held) for held in value]
    # Sums and rates are text, so that no program takes them for what binary makes of them.
    return format(value, "f") if isinstance(value, Decimal) else value
