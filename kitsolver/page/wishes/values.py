"""What the blanks of the form hold for a brief, as text."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any

import tomli_w

from kitsolver.brief.brief import Brief
from kitsolver.brief.brief_text import non_defaults, toml_data
from kitsolver.brief.goods import NEVER_UNASKED
from kitsolver.brief.settings import value_text
from kitsolver.page.catalogue_summary import CatalogueSummary
from kitsolver.page.wishes.colour_wishes import as_words
from kitsolver.page.wishes.fields import CAP_IS, CHART, COPIES, SHADES, Field, Kind
from kitsolver.page.wishes.groups import EXTRAS, all_fields
from kitsolver.show.sentences import percent_text

Values = Mapping[str, Sequence[str]]


def values_of(brief: Brief, summary: CatalogueSummary, copies: int = 1) -> dict[str, list[str]]:
    """Return what all blanks hold for a brief, by their names."""
    return values_beside_sums(brief, summary) | sums_of(brief, copies)


def values_beside_sums(brief: Brief, summary: CatalogueSummary) -> dict[str, list[str]]:
    """Return the same, without what the blanks of the sum and of copies hold."""
    fields = all_fields(brief.holds, summary)
    data, said = brief.model_dump(by_alias=True), non_defaults(brief)
    values = {name: _held(field, data, said, fields) for name, field in fields.items()}
    shades = at(data, ("needs", "thread", "have"))
    if isinstance(shades, tuple):
        values["needs.thread.have"], values[SHADES] = [], ["; ".join(shades)]
    values["shades.wish"] = ["; ".join(as_words(brief.shades.wish))]
    charts = dict(summary.charts)
    values[CHART] = [sku for sku in brief.choose.keep if sku in charts][:1] or [""]
    extras = fields.get(".".join(EXTRAS))
    if extras is not None and brief.extras.categories is None:
        values[extras.name] = usual(extras)
    return values


def sums_of(brief: Brief, copies: int) -> dict[str, list[str]]:
    """Return what the blanks of the sum and of copies hold."""
    return {
        "cap": _plain(brief.cap if brief.cap is not None else brief.cap_per_head),
        CAP_IS: ["cap" if brief.cap is not None else "cap_per_head"],
        COPIES: [str(copies)],
    }


def usual(field: Field) -> list[str]:
    """Return the categories that extras come from where a brief names none."""
    return [option.value for option in field.options if option.value not in NEVER_UNASKED]


def at(data: Any, path: Sequence[str]) -> Any:
    """Return what stands at a path of tables; None if nothing does."""
    for name in path:
        data = data.get(name) if isinstance(data, dict) else None
    return data


def _held(
    field: Field, data: Mapping[str, Any], said: Mapping[str, Any], fields: Mapping[str, Field]
) -> list[str]:
    value = at(data, field.path)
    match field.kind:
        case Kind.SEVERAL:
            return [str(one) for one in value or ()]
        case Kind.FLAG:
            return ["yes"] if value else []
        case Kind.WORDS:
            return ["; ".join(text for one in value or () for text in _plain(one))]
        case Kind.RATE:
            return [""] if value is None else [percent_text(value)]
        case Kind.PAIR:
            return [" × ".join(text for one in value or () for text in _plain(one))]
        case Kind.SETTING:
            return [_setting(at(said, field.path), field, fields)]
        case Kind.TABLES:
            tables = toml_data(at(said, field.path))
            return [tomli_w.dumps({field.path[-1]: tables}).strip() if tables else ""]
    return _plain(value)


def _setting(value: Any, field: Field, fields: Mapping[str, Field]) -> str:
    """Return a value as a setting has it, without keys of it that have blanks of their own."""
    if isinstance(value, dict):
        value = {key: one for key, one in value.items() if f"{field.name}.{key}" not in fields}
        return value_text(toml_data(value)) if value else ""
    return "" if value is None else value_text(value)


def _plain(value: Any) -> list[str]:
    if value is None:
        return [""]
    return [format(value, "f") if isinstance(value, Decimal) else str(value)]


def blank_values(fields: Iterable[Field]) -> dict[str, list[str]]:
    """Return what the blanks hold where nothing is asked yet."""
    return {field.name: [] if field.ticked else [""] for field in fields}
