"""The form in which a brief is asked for: its fields, and back from what was typed to a brief."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.brief.brief_text import non_defaults
from kitsolver.brief.needs import DEFAULT_NEEDS
from kitsolver.brief.reading import brief_of
from kitsolver.page.tasks import Look
from kitsolver.solve.rules.extras import NEVER_UNASKED

SOURCE = "the form"
# Fields that stand for no key alone: which of the cap keys, what is kept, and what is at home.
CAP_IS, CHART, SHADES = "cap_is", "chart", "shades_at_home"
EXTRAS = ("extras", "categories")


class Kind(Enum):
    """How a field is filled in, and read."""

    TEXT = "text"
    NUMBER = "number"
    WHOLE = "whole"
    WORDS = "words"
    FLAG = "flag"
    CHOICE = "choice"
    SEVERAL = "several"


@dataclass(frozen=True)
class Field:
    """One field of the form.

    Parameters
    ----------
    path : tuple of str
        The brief's key.
    label : str
        What it is, for people.
    options : tuple of (str, str)
        Values and what they are called, where it is one choice or several.
    hint : str
        An example, or what a blank stands for.
    """

    path: tuple[str, ...]
    kind: Kind
    label: str
    options: tuple[tuple[str, str], ...] = ()
    hint: str = ""

    @property
    def name(self) -> str:
        """Its name in the form."""
        return ".".join(self.path)


@dataclass(frozen=True)
class Group:
    """Fields that belong together, under a title."""

    title: str
    fields: tuple[Field, ...]


def groups_of(holds: Sequence[str], look: Look) -> tuple[Group, ...]:
    """Return the fields of a brief with some needs, for a catalogue."""
    others = [name for name in look.categories if name not in holds]
    extras = Group(
        "extras",
        (
            Field(
                ("extras", "spend"),
                Kind.CHOICE,
                "bought with",
                (
                    ("leftover", "what the needs leave over"),
                    ("together", "weighed together with the needs"),
                    ("none", "nothing: none wanted"),
                ),
            ),
            Field(("extras", "most"), Kind.WHOLE, "at most", hint="no limit"),
            Field(("extras", "weight"), Kind.NUMBER, "weight, where weighed together"),
            Field(
                EXTRAS,
                Kind.SEVERAL,
                "from these categories",
                tuple((name, name) for name in others),
            ),
        ),
    )
    return (*(_need(need, look) for need in holds), extras, _making(), _till())


def sums() -> Group:
    """Return the fields that say what is to be spent, and on what."""
    units = (("cm", "centimetres"), ("in", "inches"))
    whole = (("cap", "for the whole order"), ("cap_per_head", "for each head"))
    return Group(
        "the sum",
        (
            Field(("cap",), Kind.NUMBER, "cap", hint="30.00"),
            Field(("currency",), Kind.TEXT, "currency", hint="EUR"),
            Field(("heads",), Kind.WHOLE, "heads", hint="1"),
            Field((CAP_IS,), Kind.CHOICE, "the cap is", whole),
            Field(("title",), Kind.TEXT, "title"),
            Field(("units",), Kind.CHOICE, "measures in", units),
            Field(("holds",), Kind.WORDS, "needs", hint="; ".join(DEFAULT_NEEDS)),
        ),
    )


def _need(need: str, look: Look) -> Group:
    def of(key: str, kind: Kind, label: str, *, hint: str = "") -> Field:
        return Field(("needs", need, key), kind, label, hint=hint)

    fields = [of("have", Kind.FLAG, "at home, not to be bought")]
    if need == "thread":
        fields.append(Field((SHADES,), Kind.WORDS, "shades at home", hint="#e8e0c8; #7fc4c8"))
    if need == "chart" and look.charts:
        options = (("", "any of them"), *look.charts)
        fields.append(Field((CHART,), Kind.CHOICE, "which", options))
    if need == "fabric":
        weaves = tuple((weave, weave) for weave in ("aida", "evenweave", "linen"))
        fields.append(Field(("needs", need, "only", "weave"), Kind.SEVERAL, "weave", weaves))
        hint = "any, or 14; 16"
        fields.append(Field(("needs", need, "only", "count"), Kind.WORDS, "count", hint=hint))
    fields += [
        of("max_price", Kind.NUMBER, "price up to"),
        of("min_quality", Kind.NUMBER, "quality from"),
        of("weight", Kind.NUMBER, "weight"),
        of("tags_any", Kind.WORDS, "with one of these tags"),
        of("tags_none", Kind.WORDS, "with none of these tags"),
    ]
    if need != "fabric":
        fields.append(of("shared_by", Kind.WHOLE, "heads that share one"))
    return Group(need, tuple(fields))


def _making() -> Group:
    return Group(
        "making it",
        (
            Field(("fit", "margin_cm"), Kind.NUMBER, "bare fabric on each side, cm"),
            Field(("fit", "margin_in"), Kind.NUMBER, "or in inches"),
            Field(("fit", "over"), Kind.WHOLE, "threads a stitch spans, evenweave and linen"),
            Field(("fit", "waste"), Kind.NUMBER, "share of thread lost, 0 to 1"),
            Field(("shades", "tolerance"), Kind.NUMBER, "largest difference of a shade"),
            Field(("shades", "mismatch"), Kind.NUMBER, "points lost per unit of difference"),
        ),
    )


def _till() -> Group:
    rounding = (("half-up", "half up"), ("half-even", "half to even"))
    return Group(
        "till",
        (
            Field(("till", "discount_rate"), Kind.NUMBER, "discount, 0 to 1"),
            Field(("till", "delivery"), Kind.NUMBER, "delivery"),
            Field(("till", "delivery_free_from"), Kind.NUMBER, "delivery free from"),
            Field(("till", "tax_rate"), Kind.NUMBER, "tax on top, 0 to 1"),
            Field(("till", "tax_on_delivery"), Kind.FLAG, "delivery is taxed too"),
            Field(("till", "rounding"), Kind.CHOICE, "rounding", rounding),
        ),
    )


Values = Mapping[str, Sequence[str]]


def values_of(brief: Brief, groups: Sequence[Group], look: Look) -> dict[str, list[str]]:
    """Return what the fields hold for a brief, as text."""
    data = brief.model_dump()
    groups = (sums(), *groups)
    values = {field.name: _shown(_at(data, field.path)) for field in _fields(groups)}
    values["cap"] = _shown(brief.cap if brief.cap is not None else brief.cap_per_head)
    values[CAP_IS] = ["cap" if brief.cap is not None else "cap_per_head"]
    values["holds"] = ["; ".join(brief.holds)]
    charts = dict(look.charts)
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


def brief_from(values: Values, before: Brief | None, look: Look) -> Brief:
    """Return the brief that a filled form asks for.

    Parameters
    ----------
    values : mapping
        What was typed and chosen, by field.
    before : Brief, optional
        What the form was opened with: keys without a field stay as they are there.
    look : Look
        Of the catalogue.

    Raises
    ------
    BadInput
        With every finding, the field being its column.
    """
    data = {} if before is None else non_defaults(before)
    holds = _words(values.get("holds", [])) or list(DEFAULT_NEEDS)
    open_for = before.holds if before else ()
    data.pop("cap_per_head", None)
    for field in (*sums().fields, *_fields(groups_of(open_for or holds, look))):
        if field.path in ((CAP_IS,), (CHART,), (SHADES,)):
            continue
        # A need that was not asked for when the form was opened has no fields in it.
        if field.path[0] == "needs" and field.path[1] not in open_for:
            continue
        _put(data, field.path, _read(field, values.get(field.name, []), before))
    if categories := _at(data, EXTRAS):
        # What has become a need is no extra any more.
        _put(data, EXTRAS, [name for name in categories if name not in holds])
    if "thread" in open_for and (shades := _words(values.get(SHADES, []))):
        _put(data, ("needs", "thread", "have"), shades)
    for need in set(data.get("needs", {})) - set(holds):
        del data["needs"][need]
    if values.get(CAP_IS) == ["cap_per_head"] and "cap" in data:
        data["cap_per_head"] = data.pop("cap")
    if "chart" in open_for and look.charts:
        _put(data, ("choose", "keep"), _kept(values.get(CHART, []), before, look))
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


def _kept(chosen: Sequence[str], before: Brief | None, look: Look) -> list[str] | None:
    charts = dict(look.charts)
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
