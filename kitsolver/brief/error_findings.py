"""From pydantic's errors to findings: each with the key, the value and what would mend it."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from pydantic import BaseModel, ValidationError

from kitsolver.brief import brief_findings
from kitsolver.brief.at_home import FORMS
from kitsolver.brief.letter_case import lower_case
from kitsolver.brief.needs import Need, Needs
from kitsolver.brief.own_rules import RULE_LISTS
from kitsolver.brief.part import field_of, keys_of
from kitsolver.brief.written_numbers import miswritten
from kitsolver.shop.findings import Finding, code_of, nearest

_SENTENCES = {
    "int_type": "is not a whole number",
    "bool_type": "is neither true nor false",
    "string_type": "is not text",
    "string_too_short": "is blank",
    "tuple_type": "is not a list",
    "dict_type": "is not a table",
    "model_type": "is not a table",
}
_BY_CODE = {
    code_of(kind): kind
    for kind in (
        brief_findings.BadValue,
        brief_findings.ImpossibleRate,
        brief_findings.NumberWithComma,
        brief_findings.NumberInPerCent,
        brief_findings.UnknownCurrency,
    )
}


def findings_of(fault: ValidationError, name: str, root: type[BaseModel]) -> list[Finding]:
    """Return the findings of what pydantic found wrong with a file whose tables `root` has."""
    return [_finding(name, dict(error), root) for error in fault.errors(include_url=False)]


def without_unknown_keys(fault: ValidationError, data: Mapping[str, Any]) -> dict[str, Any] | None:
    """Return a copy of `data` without its unknown keys; None if anything else is wrong with it."""
    errors = [dict(error) for error in fault.errors(include_url=False)]
    if any(error["type"] != "extra_forbidden" for error in errors):
        return None
    # Paths name categories as they are held.
    left = lower_case(data)
    for error in errors:
        *tables, key = path_of(error)
        table: Any = left
        for name in tables:
            table = table[int(name)] if isinstance(table, list) else table[name]
        del table[key]
    return left


def _finding(file: str, error: dict[str, Any], root: type[BaseModel]) -> Finding:
    """Return the finding of one error of pydantic's."""
    path = path_of(error)
    context = error.get("ctx", {})
    place: dict[str, Any] = {"file": file, "column": _shown_path(path)}
    if error["type"] == "extra_forbidden":
        hint = nearest(path[-1], _known_keys(path[:-1], root))
        return brief_findings.UnknownKey(**place, detail=hint)
    if error["type"] == "missing":
        return brief_findings.MissingKey(**place)
    place["value"] = _shown(error["input"])
    if error["type"] == "int_type" and (told := miswritten(place["value"])) is not None:
        code, mend = told
        return _BY_CODE[code](**place, detail=mend)
    if error["type"] in _BY_CODE:
        return _BY_CODE[error["type"]](**place, detail=context.get("sentence", "is not usable so"))
    if error["type"] == "literal_error":
        return brief_findings.BadValue(**place, detail=f"is not one of {context['expected']}")
    if error["type"] == "greater_than_equal":
        return brief_findings.BadValue(**place, detail=f"is below {context['ge']}")
    if error["type"] == "less_than_equal":
        return brief_findings.BadValue(**place, detail=f"is above {context['le']}")
    return brief_findings.BadValue(
        **place, detail=_SENTENCES.get(error["type"], error["msg"].lower())
    )


def path_of(error: Mapping[str, Any]) -> list[str]:
    """Return the keys that lead to an error, without the words that pydantic puts among them.

    A brief may have keys that are called like these words.
    """
    parts = [str(part) for part in error["loc"]]
    # Where a key of a table of kinds is itself at fault, the word follows it.
    if parts[-1:] == ["[key]"] and parts[-2:-1] == [error["input"]]:
        del parts[-1]
    before = [None, *parts]
    return [
        part
        for part, last in zip(parts, before, strict=False)
        if not (last == "have" and part in FORMS)
    ]


def _shown_path(path: list[str]) -> str:
    """Return a path as findings show it: of a rule of one's own with its place, from 1."""
    if len(path) > 1 and path[0] in RULE_LISTS and path[1].isdigit():
        return ".".join([f"{path[0]} {int(path[1]) + 1}", *path[2:]])
    return ".".join(path)


def _shown(value: Any) -> str:
    """Return a value as a finding shows it."""
    if isinstance(value, (str, Decimal)):
        return str(value)
    try:
        return json.dumps(value, default=str)
    except ValueError:
        return "a number of thousands of digits"


def _known_keys(path: list[str], root: type[BaseModel]) -> list[str]:
    """Return the keys that the table at `path` has."""
    table: Any = root
    for name in path:
        if table is Needs and name not in Needs.model_fields:
            table = Need
            continue
        field = field_of(table, name)
        if field is None and name.isdigit():
            # A place in a list.
            continue
        inner = list(_parts(field.annotation)) if field else []
        if not inner:
            return []
        table = inner[0]
    return keys_of(table)


def _parts(annotation: Any) -> Iterable[type[BaseModel]]:
    """Return the tables among the types that make up an annotation."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for argument in getattr(annotation, "__args__", ()):
        yield from _parts(argument)
