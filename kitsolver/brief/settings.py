"""A brief key by key: read from settings such as ``needs.fabric.max_price=14.00``, and written."""

from __future__ import annotations

import copy
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any

import tomli_w

from kitsolver.brief import brief_findings
from kitsolver.brief.brief import Brief
from kitsolver.shop.cells import shortened
from kitsolver.shop.findings import BadInput
from kitsolver.shop.toml_text import MOST_DEPTH, parse_toml

_NUMBER = re.compile(r"[0-9]+(\.[0-9]+)?")
# More than the longest list that a brief may have.
_LONGEST = 200_000
_PART = r"""(?:[\w-]+|"(?:[^"\\\n]|\\.)*"|'[^'\n]*')"""
# A key of TOML up to its sign, which may stand within quotes too.
_KEY = re.compile(rf"[ \t]*(?P<key>{_PART}(?:[ \t]*\.[ \t]*{_PART})*)[ \t]*=", re.ASCII)
_ONE_PART = re.compile(_PART, re.ASCII)


def with_changes(
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
        If something is no setting, or is too long or too deep for one.
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
    if len(setting) > _LONGEST:
        detail = f"it has {len(setting):,} characters, and {_LONGEST:,} are the most"
        found = brief_findings.UnusableSetting(file=source, value=shortened(setting), detail=detail)
        raise BadInput([found])
    key = _KEY.match(setting)
    path = _path(key["key"]) if key else None
    if key is None or path is None:
        raise BadInput([brief_findings.NotASetting(file=source, value=shortened(setting))])
    if len(path) > MOST_DEPTH:
        detail = f"its key has {len(path)} parts, and {MOST_DEPTH} are the most"
        found = brief_findings.UnusableSetting(file=source, value=shortened(setting), detail=detail)
        raise BadInput([found])
    table = data
    *tables, name = path
    for each in tables:
        inner = table.get(each)
        table[each] = table = inner if isinstance(inner, dict) else {}
    if table is data and name in ("cap", "cap_per_head"):
        data.pop("cap", None)
        data.pop("cap_per_head", None)
    table[name] = _value(setting[key.end() :])


def _path(key: str) -> list[str] | None:
    """Return the parts of a key of TOML; None if one of them is none after all."""
    parts = _ONE_PART.findall(key)
    if len(parts) > MOST_DEPTH:
        return parts
    try:
        return [next(iter(parse_toml(f"{part} = 0"))) for part in parts]
    except ValueError:
        return None


def _value(text: str) -> Any:
    """Return a value of TOML, or text as it is."""
    try:
        values = parse_toml(f"x = {text}")
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


def non_defaults(brief: Brief) -> dict[str, Any]:
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
    yield from _leaves(non_defaults(brief), ())


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
    return tomli_w.dumps(_for_toml(non_defaults(brief)))


def _for_toml(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _for_toml(held) for key, held in value.items()}
    if isinstance(value, list):
        return [_number(held) if isinstance(held, Decimal) else _for_toml(held) for held in value]
    # Sums and rates are text, so that no program takes them for what binary makes of them.
    return format(value, "f") if isinstance(value, Decimal) else value
