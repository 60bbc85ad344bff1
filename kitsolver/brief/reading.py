"""Reads a brief: TOML text, overrides, and the findings of both."""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Iterable, Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError

from kitsolver.brief import brief_findings
from kitsolver.brief.at_home import FORMS
from kitsolver.brief.brief import Brief
from kitsolver.brief.needs import Need, Needs
from kitsolver.brief.settings import with_changes
from kitsolver.brief.validate import validate_brief
from kitsolver.shop.findings import BadInput, Finding, code_of, nearest
from kitsolver.shop.toml_text import excesses, parse_toml, read_small


def read_brief(path: str | Path, *, sets: Iterable[str] = (), cap: str | None = None) -> Brief:
    """Return the brief of a TOML file.

    Parameters
    ----------
    path : str or Path
        The file.
    sets : iterable of str
        Overrides of the form ``needs.fabric.max_price=14.00``.
    cap : str, optional
        Replaces either cap key; for the whole order.

    Raises
    ------
    BadInput
        With every finding.
    """
    return brief_of(with_changes(data_of(path), sets, cap), str(path))


def data_of(path: str | Path) -> dict[str, Any]:
    """Return what a TOML file says.

    Raises
    ------
    BadInput
        If it is no such file.
    """
    try:
        text = read_small(path).decode("utf-8-sig")
    except OSError as fault:
        detail = (fault.strerror or "unreadable").lower()
        raise BadInput([brief_findings.UnreadableBrief(file=str(path), detail=detail)]) from None
    except UnicodeDecodeError as fault:
        detail = f"byte {fault.object[fault.start]:#04x} at {fault.start}"
        raise BadInput([brief_findings.BriefNotUtf8(file=str(path), detail=detail)]) from None
    except ValueError as fault:
        # Too long, or a range names a brief by what can be no path.
        detail = str(fault)
        raise BadInput([brief_findings.UnreadableBrief(file=str(path), detail=detail)]) from None
    return _data(text, str(path))


def brief_from_text(text: str, name: str = "brief") -> Brief:
    """Return the brief of TOML text, which findings call by a name.

    Raises
    ------
    BadInput
        With every finding.
    """
    return brief_of(_data(text, name), name)


def _data(text: str, name: str) -> dict[str, Any]:
    try:
        data = parse_toml(text)
    except ValueError as fault:
        raise BadInput([_not_toml(name, str(fault))]) from None
    _check_bounds(data, name)
    return data


def with_settings(brief: Brief, *, sets: Iterable[str] = (), cap: str | None = None) -> Brief:
    """Return a brief with some keys replaced, as the command line's options do.

    Raises
    ------
    BadInput
        With every finding.
    """
    return brief_of(with_changes(brief.model_dump(mode="json"), sets, cap))


def brief_of(data: Mapping[str, Any], name: str = "brief") -> Brief:
    """Return the brief of parsed data, as `tomllib` or `json` gives it.

    Raises
    ------
    BadInput
        With every finding.
    """
    _check_bounds(data, name)
    try:
        brief = Brief.model_validate(dict(data))
    except ValidationError as fault:
        errors: list[dict[str, Any]] = [dict(error) for error in fault.errors(include_url=False)]
        found = dict.fromkeys(findings_of(fault, name))
        if all(error["type"] == "extra_forbidden" for error in errors):
            # Without the keys that it does not have, a brief can be looked at further.
            try:
                brief_of(_without(data, [_path(error["loc"]) for error in errors]), name)
            except BadInput as further:
                found |= dict.fromkeys(further.findings)
        raise BadInput(found) from None
    if findings := validate_brief(brief, name):
        raise BadInput(findings)
    return brief


def _check_bounds(data: Mapping[str, Any], name: str) -> None:
    """Refuse what nests more deeply, or is longer, than what any brief says."""
    if found := [
        brief_findings.BadValue(file=name, column=".".join(path), detail=detail)
        for path, detail in excesses(dict(data))
    ]:
        raise BadInput(found)


def findings_of(fault: ValidationError, name: str, root: type[BaseModel] = Brief) -> list[Finding]:
    """Return the findings of what pydantic found wrong with a file whose tables `root` has."""
    return [_finding(name, dict(error), root) for error in fault.errors(include_url=False)]


def _without(data: Mapping[str, Any], paths: Iterable[list[str]]) -> dict[str, Any]:
    """Return a copy of `data` without the keys at some paths."""
    left = copy.deepcopy(dict(data))
    for *tables, key in paths:
        table = left
        for name in tables:
            table = table[name]
        del table[key]
    return left


def _not_toml(file: str, fault: str) -> Finding:
    line = re.search(r"\(at line (\d+), column \d+\)", fault)
    return brief_findings.NotToml(
        file=file,
        row=int(line[1]) if line else None,
        detail=re.sub(r" \(at line .*\)", "", fault).rstrip(".").lower(),
    )


_ORDINARY = {
    "int_type": "is not a whole number",
    "bool_type": "is neither true nor false",
    "string_type": "is not text",
    "string_too_short": "is blank",
    "tuple_type": "is not a list",
    "dict_type": "is not a table",
    "model_type": "is not a table",
}
_KINDS = {
    code_of(kind): kind
    for kind in (
        brief_findings.BadValue,
        brief_findings.ImpossibleRate,
        brief_findings.UnknownCurrency,
    )
}


def _finding(file: str, error: dict[str, Any], root: type[BaseModel]) -> Finding:
    """Return the finding of one error of pydantic's."""
    path = _path(error["loc"])
    context = error.get("ctx", {})
    place: dict[str, Any] = {"file": file, "column": ".".join(path)}
    if error["type"] == "extra_forbidden":
        hint = nearest(path[-1], _known_keys(path[:-1], root))
        return brief_findings.UnknownKey(**place, detail=hint)
    if error["type"] == "missing":
        return brief_findings.MissingKey(**place)
    place["value"] = _written(error["input"])
    if error["type"] in _KINDS:
        return _KINDS[error["type"]](**place, detail=context.get("sentence", "is not usable so"))
    if error["type"] == "literal_error":
        return brief_findings.BadValue(**place, detail=f"is not one of {context['expected']}")
    if error["type"] == "greater_than_equal":
        return brief_findings.BadValue(**place, detail=f"is below {context['ge']}")
    if error["type"] == "less_than_equal":
        return brief_findings.BadValue(**place, detail=f"is above {context['le']}")
    return brief_findings.BadValue(
        **place, detail=_ORDINARY.get(error["type"], error["msg"].lower())
    )


def _path(loc: Iterable[Any]) -> list[str]:
    """Return the keys that lead to an error, without what pydantic puts between them."""
    path: list[str] = []
    for part in loc:
        if not (part == "[key]" or (path[-1:] == ["have"] and part in FORMS)):
            path.append(str(part))
    return path


def _written(value: Any) -> str:
    """Return a value much as the brief writes it."""
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
        field = table.model_fields.get(name)
        inner = list(_parts(field.annotation)) if field else []
        if not inner:
            return []
        table = inner[0]
    return list(table.model_fields)


def _parts(annotation: Any) -> Iterable[type[BaseModel]]:
    """Return the tables among the types that make up an annotation."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for argument in getattr(annotation, "__args__", ()):
        yield from _parts(argument)
