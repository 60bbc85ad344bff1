"""The brief of a form that was filled in."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.brief.brief_text import non_defaults
from kitsolver.brief.needs import DEFAULT_NEEDS
from kitsolver.brief.reading import brief_of
from kitsolver.brief.settings import parse_value
from kitsolver.page.catalogue_summary import CatalogueSummary
from kitsolver.page.page_findings import TwoNumbers
from kitsolver.page.wishes.colour_wishes import bearable_mismatch, wished
from kitsolver.page.wishes.fields import CAP_IS, CHART, COPIES, SHADES, Field, Kind
from kitsolver.page.wishes.groups import EXTRAS, all_fields
from kitsolver.page.wishes.typed_numbers import TwoReadings, read_number, read_pair, read_rate
from kitsolver.page.wishes.values import Values, at, usual, values_of
from kitsolver.shop.findings import BadInput, Finding
from kitsolver.shop.toml_text import parse_toml

SOURCE = "the form"
# The names of the blanks with ticks that the form had: a browser sends nothing of ticks not set.
TICKS = "ticks"
# Which of two readings of a number is meant, as ``cap=1234``.
MEANT = "meant"
# The swatches of threads that are wished for, beside those that are typed.
SWATCHES, _WISH = "swatch", "shades.wish"


def brief_from(values: Values, before: Brief | None, summary: CatalogueSummary) -> Brief:
    """Return the brief that a filled form asks for.

    Parameters
    ----------
    values : mapping
        What was typed and chosen, by blank. A blank that holds what it held for `before`, or that
        the form did not have, changes nothing.
    before : Brief, optional
        What the form was opened with.
    summary : CatalogueSummary
        Of the catalogue.

    Raises
    ------
    BadInput
        With every finding, the blank being its column.
    """
    data = {} if before is None else non_defaults(before)
    holds = before.holds if before else DEFAULT_NEEDS
    held = {} if before is None else values_of(before, summary)
    meant = dict(pair.partition("=")[::2] for pair in values.get(MEANT, ()))
    ticks = values.get(TICKS, ())
    found: list[Finding] = []
    for name, field in all_fields(holds, summary).items():
        if name in (CAP_IS, CHART, SHADES, COPIES, _WISH):
            continue
        given = values.get(name)
        if given is None and not (field.ticked and name in ticks):
            continue
        texts = [meant[name]] if name in meant else list(given or [])
        if texts == held.get(name) or (not field.ticked and held == {} and texts == [""]):
            continue
        _put(data, field, _read(field, texts, before, found))
    _put_wish(data, values, held, summary)
    _put_cap(data, values, before)
    _put_needs(data, before)
    if SHADES in values and list(values[SHADES]) != held.get(SHADES, [""]):
        _set(data, ("needs", "thread", "have"), _words(values[SHADES]) or None)
    if CHART in values and list(values[CHART]) != held.get(CHART):
        _set(data, ("choose", "keep"), _kept(values[CHART], before, summary))
    _raise_all(found, data)
    return brief_of(data, SOURCE)


def _raise_all(found: Sequence[Finding], data: dict[str, Any]) -> None:
    """Raise what was found in the form together with what is wrong with the rest."""
    if not found:
        return
    doubtful = {finding.column for finding in found}
    try:
        brief_of(data, SOURCE)
    except BadInput as further:
        raise BadInput(
            [*found, *(f for f in further.findings if f.column not in doubtful)]
        ) from None
    raise BadInput(list(found))


def _read(field: Field, texts: Sequence[str], before: Brief | None, found: list[Finding]) -> Any:
    """Return the value of a blank; None where the brief is to say nothing."""
    text = texts[0].strip() if texts else ""
    described = at(before.model_dump(by_alias=True), field.path) if before else None
    match field.kind:
        case Kind.FLAG if texts and isinstance(described, dict):
            # It stays described as it was.
            return at(non_defaults(before), field.path) if before else True
        case Kind.FLAG:
            return bool(texts) or (False if field.path == ("shades", "keep_values") else None)
        case Kind.WORDS:
            words = _words(texts)
            counts = field.path[-1] == "count"
            return [_count(word) if counts else word for word in words] or None
        case Kind.SEVERAL if field.path == EXTRAS and set(texts) == set(usual(field)):
            return None
        case Kind.SEVERAL:
            # That no category may be an extra, or is a need, is something that a brief can say.
            return list(texts) or ([] if field.path in (EXTRAS, ("holds",)) else None)
        case Kind.RATE:
            return read_rate(text) if text else None
        case Kind.PAIR:
            return read_pair(text) if text else None
        case Kind.SETTING:
            return parse_value(text) if text else None
        case Kind.TABLES:
            return _tables(text, field) if text else None
        case Kind.NUMBER | Kind.WHOLE if text:
            number = read_number(text)
            if isinstance(number, TwoReadings):
                detail = " or ".join(number.readings)
                found.append(TwoNumbers(file=SOURCE, column=field.name, value=text, detail=detail))
                return number.readings[0]
            return _whole(number) if field.kind is Kind.WHOLE else number
    return text or None


def _tables(text: str, field: Field) -> Any:
    """Return tables written as TOML; what is none is left to the brief to refuse."""
    try:
        data = parse_toml(text)
    except ValueError:
        return text
    return data.get(field.path[-1], data)


def _put(data: dict[str, Any], field: Field, value: Any) -> None:
    here = at(data, field.path)
    if field.kind is Kind.SETTING and isinstance(here, dict) and isinstance(value, dict | None):
        # Keys of it that have blanks of their own stay as they are.
        named = ("weave", "count") if field.path[-1] == "only" else ()
        own = {key: one for key, one in here.items() if key in named}
        value = {**own, **(value or {})} or None
    _set(data, field.path, value)


def _put_wish(
    data: dict[str, Any], values: Values, held: Values, summary: CatalogueSummary
) -> None:
    """Write the colours that are wished for by word or by swatch, and free the colours for them."""
    typed, swatches = values.get(_WISH), list(values.get(SWATCHES, ()))
    if typed is None or (list(typed) == held.get(_WISH) and not swatches):
        return
    colours = wished([*_words(typed), *swatches])
    _set(data, ("shades", "wish"), colours or None)
    if not colours:
        return
    _set(data, ("shades", "mode"), "free")
    real = [colour for colour in colours if re.fullmatch("#[0-9a-fA-F]{6}", colour)]
    mismatch = bearable_mismatch(real, summary.thread_colours)
    if mismatch is not None and at(data, ("shades", "mismatch")) is None:
        _set(data, ("shades", "mismatch"), mismatch)


def _put_cap(data: dict[str, Any], values: Values, before: Brief | None) -> None:
    """Name the cap as it is meant: for the whole order, or for each person."""
    was = "cap_per_head" if before is not None and before.cap is None else "cap"
    meant = values[CAP_IS][0] if values.get(CAP_IS) else was
    if meant not in ("cap", "cap_per_head"):
        meant = was
    amount, for_each = data.pop("cap", None), data.pop("cap_per_head", None)
    amount = for_each if amount is None else amount
    if amount is not None:
        data[meant] = amount


def _put_needs(data: dict[str, Any], before: Brief | None) -> None:
    """Let go of what is said of needs that are none any more, and of extras that are needs."""
    holds = data.get("holds") or (DEFAULT_NEEDS if before is None or "holds" not in data else ())
    for need in set(data.get("needs", {})) - set(holds):
        del data["needs"][need]
    if categories := at(data, EXTRAS):
        _set(data, EXTRAS, [name for name in categories if name not in holds])


def _words(texts: Sequence[str]) -> list[str]:
    return [word.strip() for text in texts for word in text.split(";") if word.strip()]


def _whole(text: str) -> int | str:
    """Return digits as the number they are; anything else is for the brief to judge."""
    return int(text) if text.isascii() and text.isdigit() and len(text) < 12 else text


def _count(text: str) -> int | str | Decimal:
    """Return a number as such: text is held against what a row says in another way."""
    return Decimal(text) if re.fullmatch(r"[0-9]+\.[0-9]+", text) else _whole(text)


def _kept(
    chosen: Sequence[str], before: Brief | None, summary: CatalogueSummary
) -> list[str] | None:
    charts = dict(summary.charts)
    keep = [sku for sku in (before.choose.keep if before else ()) if sku not in charts]
    return [*(sku for sku in chosen if sku), *keep] or None


def _set(data: dict[str, Any], path: Sequence[str], value: Any) -> None:
    *tables, key = path
    for name in tables:
        data = data.setdefault(name, {})
    if value is None:
        data.pop(key, None)
    else:
        data[key] = value
