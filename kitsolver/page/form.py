"""The form in which a brief is asked for: what its fields hold, and the brief of a filled form."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.brief.brief_text import non_defaults
from kitsolver.brief.goods import NEVER_UNASKED
from kitsolver.brief.needs import DEFAULT_NEEDS
from kitsolver.brief.reading import brief_of
from kitsolver.page.catalogue_summary import CatalogueSummary
from kitsolver.page.form_fields import (
    CAP_IS,
    CHART,
    EXTRAS,
    SHADES,
    Field,
    Group,
    Kind,
    groups_of,
    sum_group,
)

SOURCE = "the form"

Values = Mapping[str, Sequence[str]]


def values_of(
    brief: Brief, groups: Sequence[Group], summary: CatalogueSummary
) -> dict[str, list[str]]:
    """Return what the fields hold for a brief, as text."""
    data = brief.model_dump()
    groups = (sum_group(), *groups)
    values = {field.name: _shown(_at(data, field.path)) for field in _fields(groups)}
    values["cap"] = _shown(brief.cap if brief.cap is not None else brief.cap_per_head)
    values[CAP_IS] = ["cap" if brief.cap is not None else "cap_per_head"]
    values["holds"] = ["; ".join(brief.holds)]
    charts = dict(summary.charts)
    shades = _at(data, ("needs", "thread", "have"))
    if isinstance(shades, tuple):
        values["needs.thread.have"], values[SHADES] = [], _shown(shades)
    values[CHART] = [sku for sku in brief.choose.keep if sku in charts][:1]
    for field in _fields(groups):
        if field.kind is Kind.WORDS:
            values[field.name] = ["; ".join(values[field.name])]
        if field.path == EXTRAS and brief.extras.categories is None:
            values[field.name] = _usual(field)
    return values


def _fields(groups: Sequence[Group]) -> Iterator[Field]:
    for group in groups:
        yield from group.fields


def _at(data: Any, path: Sequence[str]) -> Any:
    for name in path:
        data = data.get(name) if isinstance(data, dict) else None
    return data


def _shown(value: Any) -> list[str]:
    match value:
        case None | False:
            return []
        case True | dict():
            return ["yes"]
        case list() | tuple():
            return [text for entry in value for text in _shown(entry)]
        case Decimal():
            return [format(value, "f")]
    return [str(value)]


def brief_from(values: Values, before: Brief | None, summary: CatalogueSummary) -> Brief:
    """Return the brief that a filled form asks for.

    Parameters
    ----------
    values : mapping
        What was typed and chosen, by field.
    before : Brief, optional
        What the form was opened with: keys without a field stay as they are there.
    summary : CatalogueSummary
        Of the catalogue.

    Raises
    ------
    BadInput
        With every finding, the field being its column.
    """
    data = {} if before is None else non_defaults(before)
    holds = _words(values.get("holds", [])) or list(DEFAULT_NEEDS)
    shown_needs = before.holds if before else ()
    data.pop("cap_per_head", None)
    for field in (*sum_group().fields, *_fields(groups_of(shown_needs or holds, summary))):
        if field.path in ((CAP_IS,), (CHART,), (SHADES,)):
            continue
        # A need that was not asked for when the form was opened has no fields in it.
        if field.path[0] == "needs" and field.path[1] not in shown_needs:
            continue
        _put(data, field.path, _read(field, values.get(field.name, []), before))
    if categories := _at(data, EXTRAS):
        # What has become a need is no extra any more.
        _put(data, EXTRAS, [name for name in categories if name not in holds])
    if "thread" in shown_needs and (shades := _words(values.get(SHADES, []))):
        _put(data, ("needs", "thread", "have"), shades)
    for need in set(data.get("needs", {})) - set(holds):
        del data["needs"][need]
    if values.get(CAP_IS) == ["cap_per_head"] and "cap" in data:
        data["cap_per_head"] = data.pop("cap")
    if "chart" in shown_needs and summary.charts:
        _put(data, ("choose", "keep"), _kept(values.get(CHART, []), before, summary))
    return brief_of(data, SOURCE)


def _read(field: Field, texts: Sequence[str], before: Brief | None) -> Any:
    """Return the value of a field; None where the brief is to say nothing."""
    text = texts[0].strip() if texts else ""
    described = _at(before.model_dump(), field.path) if before else None
    match field.kind:
        case Kind.FLAG if texts and isinstance(described, dict):
            # It stays described as it was.
            return _at(non_defaults(before), field.path) if before else True
        case Kind.FLAG:
            return bool(texts) or None
        case Kind.WORDS:
            words = _words(texts)
            counts = field.path[-1] == "count"
            return [_number(word) if counts else word for word in words] or None
        case Kind.SEVERAL if field.path == EXTRAS:
            named = before.extras.categories if before else None
            usual = set(_usual(field)) if named is None else None
            if set(texts) == usual:
                return None
            return list(named) if named and set(texts) == set(named) else list(texts)
        case Kind.SEVERAL:
            return list(texts) or None
        case Kind.WHOLE:
            return _whole(text) if text else None
    return text or None


def _words(texts: Sequence[str]) -> list[str]:
    return [word.strip() for text in texts for word in text.split(";") if word.strip()]


def _whole(text: str) -> int | str:
    """Return digits as the number they are; anything else is for the brief to judge."""
    return int(text) if text.isascii() and text.isdigit() and len(text) < 12 else text


def _number(text: str) -> int | str | Decimal:
    """Return a number as such: text is held against what a row says in another way."""
    return Decimal(text) if re.fullmatch(r"[0-9]+\.[0-9]+", text) else _whole(text)


def _usual(field: Field) -> list[str]:
    """Return the categories that extras come from where a brief names none."""
    return [name for name, _ in field.options if name not in NEVER_UNASKED]


def _kept(
    chosen: Sequence[str], before: Brief | None, summary: CatalogueSummary
) -> list[str] | None:
    charts = dict(summary.charts)
    keep = [sku for sku in (before.choose.keep if before else ()) if sku not in charts]
    return [*(sku for sku in chosen if sku), *keep] or None


def _put(data: dict[str, Any], path: Sequence[str], value: Any) -> None:
    *tables, key = path
    for name in tables:
        data = data.setdefault(name, {})
    if value is None:
        data.pop(key, None)
    else:
        data[key] = value
