"""Settings such as ``needs.fabric.max_price=14.00``: read into a brief's data, and written."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from functools import lru_cache
from typing import Any

import tomli_w

from kitsolver.brief import brief_findings, rule_findings
from kitsolver.brief.letter_case import lower_case, lower_case_path
from kitsolver.brief.own_rules import RULE_LISTS, rule_named, with_names
from kitsolver.shop.cell_faults import shortened
from kitsolver.shop.findings import BadInput, nearest
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
    new = lower_case(data)
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
    value = parse_value(setting[key.end() :])
    if path[0] in RULE_LISTS and len(path) > 1:
        _replace_in_rule(data, path, value, source)
        return
    if path[0] in ("cap", "cap_per_head") and len(path) == 1:
        data.pop("cap", None)
        data.pop("cap_per_head", None)
    _replace_in(data, lower_case_path(path), value)


def key_of(setting: str) -> str | None:
    """Return the key that a setting names, as findings name it; None if it is no setting."""
    key = _KEY.match(setting)
    path = _path(key["key"]) if key else None
    return None if path is None else ".".join(lower_case_path(path))


def _replace_in(table: dict[str, Any], path: Sequence[str], value: Any) -> None:
    """Replace the value at a path of tables within tables, which are made where there are none."""
    *tables, name = path
    for each in tables:
        inner = table.get(each)
        table[each] = table = inner if isinstance(inner, dict) else {}
    table[name] = value


def _replace_in_rule(data: dict[str, Any], path: Sequence[str], value: Any, source: str) -> None:
    """Replace a key of a rule of one's own, which is found by its name; no key takes it out."""
    kind, name, *keys = path
    data.update(with_names(data))
    place = rule_named(data.get(kind), name)
    if place is None:
        names = [rule["name"] for rule in data.get(kind) or () if isinstance(rule, dict)]
        known = f"the names are {', '.join(names)}" if names else "write the rule into the brief"
        detail = nearest(name, names) or known
        raise BadInput(
            [rule_findings.UnknownRule(file=source, column=kind, value=name, detail=detail)]
        )
    if keys:
        _replace_in(data[kind][place], keys, value)
    elif value == {}:
        del data[kind][place]
    else:
        data[kind][place] = {**value, "name": name} if isinstance(value, dict) else value


def _path(key: str) -> list[str] | None:
    """Return the parts of a key of TOML; None if one of them is none after all."""
    parts = _ONE_PART.findall(key)
    if len(parts) > MOST_DEPTH:
        return parts
    try:
        return [next(iter(parse_toml(f"{part} = 0"))) for part in parts]
    except ValueError:
        return None


def parse_value(text: str) -> Any:
    """Return what stands behind the sign of a setting: a value of TOML, else text as it is."""
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
    return f"{key_text(path)}={value_text(value)}"


def key_text(path: Sequence[str]) -> str:
    """Return the key of some nested tables as a setting has it, in quotes where TOML needs them."""
    return ".".join(map(_bare_or_quoted, path))


@lru_cache(1024)
def _bare_or_quoted(part: str) -> str:
    return tomli_w.dumps({part: 0}).removesuffix(" = 0\n")


def value_text(value: Any) -> str:
    """Return a value as a setting has it: a table in one line, and numbers without quotes."""
    match value:
        case str() if _NUMBER.fullmatch(value):
            return value
    return list_text(value)


def list_text(value: Any) -> str:
    """Return a list, a table, a number or a text as TOML has it in one line."""
    if isinstance(value, dict):
        pairs = (f"{key_text([str(key)])} = {list_text(held)}" for key, held in value.items())
        return f"{{ {', '.join(pairs)} }}" if value else "{}"
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(map(list_text, value))}]"
    if isinstance(value, Decimal):
        value = plain_number(value)
    return _quoted(value) if isinstance(value, str) else _value(value)


# Addresses name the same skus again and again.
@lru_cache(1024)
def _quoted(text: str) -> str:
    return _value(text)


def _value(value: Any) -> str:
    return tomli_w.dumps({"x": value}).removeprefix("x = ").removesuffix("\n")


def plain_number(value: Decimal) -> int | float:
    """Return a number as TOML has it: whole where it is, else with its decimals."""
    whole = value == value.to_integral_value()
    return int(value) if whole else float(value)
