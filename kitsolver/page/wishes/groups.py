"""Which blanks the form has for a brief and a catalogue, and in which sentences they stand."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from functools import cache, lru_cache
from types import MappingProxyType
from typing import Any

from kitsolver.page.catalogue_summary import CatalogueSummary
from kitsolver.page.everyday import category_word
from kitsolver.page.wishes.fields import (
    CAP_IS,
    CHART,
    COPIES,
    SHADES,
    Field,
    Group,
    Kind,
    Option,
    Sentence,
)
from kitsolver.page.wishes.rest import rest_of
from kitsolver.show.sheet.texts import texts

EXTRAS = ("extras", "categories")
WAYS = ("one", "class", "bundles")
_PIECE = re.compile(r"\{([a-z_.]+)\}")
_WEAVES = ("aida", "evenweave", "linen")
_MOST_CATEGORIES = 60
# The blanks of so many kinds of briefs are remembered.
_REMEMBERED = 64


@lru_cache(len(WAYS))
def first_sentences(way: str) -> Group:
    """Return the sentences with which each form begins, by the way in."""
    t = texts("kitsolver.page").wishes
    known = {field.name: field for field in _sum_fields()}
    told = (getattr(t.first, way), t.first.title)
    return Group("first", tuple(_sentence(text, known, ()) for text in told))


@lru_cache(_REMEMBERED)
def groups_of(holds: tuple[str, ...], summary: CatalogueSummary) -> tuple[Group, ...]:
    """Return the groups of sentences for a brief with some needs, without the first ones."""
    groups = (*(_need(need, summary) for need in holds), *_others(holds, summary))
    said = [field.path for group in groups for field in group.fields]
    said += [field.path for field in _sum_fields()]
    rest = tuple(Sentence((field,)) for field in rest_of(holds, said))
    return (*groups, Group("rest", (), rest))


@lru_cache(_REMEMBERED)
def all_fields(holds: tuple[str, ...], summary: CatalogueSummary) -> Mapping[str, Field]:
    """Return every blank that a form for a brief with some needs may have, by its name."""
    every = [field for group in groups_of(holds, summary) for field in group.fields]
    return MappingProxyType({field.name: field for field in (*_sum_fields(), *every)})


def _sentence(text: str, known: Mapping[str, Field], prefix: tuple[str, ...]) -> Sentence:
    """Return a text with its blanks; a blank is named by its key, below `prefix` or in full."""
    parts: list[str | Field] = []
    for place, piece in enumerate(_PIECE.split(text)):
        if place % 2:
            below = ".".join((*prefix, piece))
            parts.append(known[below] if below in known else known[piece])
        elif piece:
            parts.append(piece)
    return Sentence(tuple(parts))


def _group(
    key: str, fields: Iterable[Field], text: Any, prefix: tuple[str, ...] = (), about: str = ""
) -> Group:
    known = {field.name: field for field in fields}
    told, rare = ([*getattr(text, name, [])] for name in ("says", "rare"))
    return Group(
        key,
        tuple(_sentence(one, known, prefix) for one in told),
        tuple(_sentence(one, known, prefix) for one in rare),
        about,
    )


@cache
def _sum_fields() -> tuple[Field, ...]:
    t = texts("kitsolver.page").wishes.options
    return (
        Field(("cap",), Kind.NUMBER, hint="30.00"),
        Field(("currency",), Kind.TEXT, hint="EUR"),
        Field(("heads",), Kind.WHOLE, hint="1"),
        Field(("spare",), Kind.WHOLE, hint="0"),
        Field((CAP_IS,), Kind.CHOICE, _options(t.cap_is)),
        Field((COPIES,), Kind.WHOLE, hint="1"),
        Field(("title",), Kind.TEXT),
        Field(("units",), Kind.CHOICE, _options(t.units)),
    )


def _options(named: Any) -> tuple[Option, ...]:
    return tuple(Option(value, says) for value, says in vars(named).items())


def _tags(category: str, summary: CatalogueSummary) -> tuple[Option, ...]:
    return tuple(Option(tag, tag, rows) for tag, rows in summary.tags_of(category))


def _need(need: str, summary: CatalogueSummary) -> Group:
    t = texts("kitsolver.page").wishes

    def of(key: str, kind: Kind, options: tuple[Option, ...] = (), hint: str = "") -> Field:
        return Field(("needs", need, *key.split(".")), kind, options, hint)

    tags = _tags(need, summary)
    fields = [
        of("have", Kind.FLAG),
        of("max_price", Kind.NUMBER),
        of("min_quality", Kind.NUMBER),
        of("weight", Kind.NUMBER, hint="1"),
        of("tags_any", Kind.SEVERAL, tags),
        of("tags_none", Kind.SEVERAL, tags),
    ]
    if need != "fabric":
        fields.append(of("shared_by", Kind.WHOLE, hint="1"))
    if need == "fabric":
        weaves = tuple(Option(weave, weave) for weave in _WEAVES)
        fields += [of("only.weave", Kind.SEVERAL, weaves), of("only.count", Kind.WORDS, hint="14")]
    if need == "thread":
        fields.append(Field((SHADES,), Kind.WORDS, hint="#e8e0c8; #7fc4c8"))
    if need == "chart":
        charts = (Option("", t.any_chart), *(Option(*chart) for chart in summary.charts))
        fields.append(Field((CHART,), Kind.CHOICE, charts))
    text = t.needs.__dict__.get(need, t.needs.other)
    return _group(need, fields, text, ("needs", need), need)


def _others(holds: Sequence[str], summary: CatalogueSummary) -> tuple[Group, ...]:
    t = texts("kitsolver.page").wishes
    counts = dict(summary.categories_rows)
    every = [*dict.fromkeys((*holds, *counts))][:_MOST_CATEGORIES]
    rows = tuple(Option(name, category_word(name), counts.get(name, 0)) for name in every)
    others = tuple(option for option in rows if option.value not in holds)
    tags = _tags("", summary)
    fields = (
        Field(("holds",), Kind.SEVERAL, rows),
        Field(("extras", "spend"), Kind.CHOICE, _options(t.options.spend)),
        Field(("extras", "most"), Kind.WHOLE),
        Field(("extras", "weight"), Kind.NUMBER, hint="0.25"),
        Field(EXTRAS, Kind.SEVERAL, others),
        Field(("all", "tags_none"), Kind.SEVERAL, tags),
        Field(("all", "tags_all"), Kind.SEVERAL, tags),
        Field(("shades", "mode"), Kind.CHOICE, _options(t.options.mode)),
        Field(("shades", "tolerance"), Kind.NUMBER, hint="6"),
        Field(("shades", "mismatch"), Kind.NUMBER, hint="5"),
        Field(("shades", "contrast"), Kind.NUMBER, hint="10"),
        Field(("shades", "on_cloth"), Kind.NUMBER),
        Field(("shades", "keep_values"), Kind.FLAG),
        Field(("shades", "wish"), Kind.WORDS, hint="#7fc4c8"),
        Field(("fit", "margin_cm"), Kind.NUMBER, hint="7.62"),
        Field(("fit", "margin_in"), Kind.NUMBER),
        Field(("fit", "over"), Kind.WHOLE, hint="2"),
        Field(("fit", "waste"), Kind.RATE, hint="20"),
        Field(("fit", "strands"), Kind.WHOLE),
        Field(("size", "at_most_cm"), Kind.PAIR, hint="20 × 25"),
        Field(("size", "at_least_cm"), Kind.PAIR, hint="10 × 10"),
        Field(("units",), Kind.CHOICE, _options(t.options.units)),
        Field(("lesson", "stitches_an_hour"), Kind.NUMBER, hint="60"),
        Field(("lesson", "hours_at_most"), Kind.NUMBER),
        Field(("lesson", "minutes"), Kind.NUMBER),
        Field(("shop", "sell_at"), Kind.NUMBER),
        Field(("shop", "margin_rate"), Kind.RATE, hint="35"),
        Field(("shop", "uncosted"), Kind.CHOICE, _options(t.options.uncosted)),
        Field(("till", "discount_rate"), Kind.RATE, hint="0"),
        Field(("till", "delivery"), Kind.NUMBER, hint="0.00"),
        Field(("till", "delivery_free_from"), Kind.NUMBER, hint="0.00"),
        Field(("till", "tax_rate"), Kind.RATE, hint="0"),
        Field(("till", "tax_on_delivery"), Kind.FLAG),
        Field(("till", "rounding"), Kind.CHOICE, _options(t.options.rounding)),
        Field(("choose", "keep"), Kind.WORDS),
        Field(("choose", "leave_out"), Kind.WORDS),
        Field(("choose", "own"), Kind.WORDS),
        Field(("limits",), Kind.TABLES, hint='[[limits]]\ncolumn = "weight_g"\nmost = 500'),
        Field(
            ("pairs",),
            Kind.TABLES,
            hint='[[pairs]]\nif = { category = "thread" }\nthen = { category = "fabric" }',
        ),
        Field(("alike",), Kind.TABLES, hint='[[alike]]\ncolumn = "series"'),
    )
    keys = (
        "holds",
        "extras",
        "whole",
        "colours",
        "making",
        "lesson",
        "shop",
        "till",
        "goods",
        "rules",
    )
    return tuple(_group(key, fields, getattr(t.groups, key)) for key in keys)
