"""Reads a kit that `pick --json` saved."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError

from kitsolver.brief.brief import Brief
from kitsolver.brief.numbers import Hex, read_number
from kitsolver.brief.reading import brief_of
from kitsolver.craft.colour import DIFFERENCE_UNIT
from kitsolver.explain.recheck.kit_findings import (
    NotASavedKit,
    NothingSaved,
    OtherSchema,
    UnreadableKit,
)
from kitsolver.shop.findings import BadInput
from kitsolver.shop.toml_text import decimal_of, read_small
from kitsolver.solve.audit.evidence import Shade
from kitsolver.solve.outcome import Line

SCHEMA = "kitsolver/kit/1"

Count = Annotated[int, Field(ge=0, strict=True)]
Exact = Annotated[Decimal, BeforeValidator(read_number)]
Sku = Annotated[str, Field(min_length=1)]


class _Part(BaseModel):
    # What a later version adds is passed over.
    model_config = ConfigDict(frozen=True, extra="ignore")


class _Line(_Part):
    sku: Sku
    name: str
    category: str
    role: Literal["need", "extra"]
    units: Count
    price: Exact
    quality: Exact
    from_home: Count = 0
    from_home_m: Exact | None = None
    left_after_m: Exact | None = None


class _Home(_Part):
    source: str
    rows: tuple[dict[str, str], ...]


class _Shade(_Part):
    chart_colour: Hex
    stitches: Exact
    sku: Sku | None
    thread_colour: Hex
    difference: Exact
    skeins: Count


class _Kit(_Part):
    status: Literal["best", "best so far"]
    lines: tuple[_Line, ...]
    shades: tuple[_Shade, ...]
    payable: Exact
    brief: dict[str, Any]
    home: _Home | None = None


@dataclass(frozen=True)
class Saved:
    """A saved kit.

    Parameters
    ----------
    file : str
        Its name as the user gave it.
    brief : Brief
        What was asked, complete.
    lines : tuple of Line
        As they were saved.
    shades : tuple of Shade
        As they were saved.
    payable : int
        What the kit came to, in minor units.
    home : tuple of mapping of str to str, or None
        The rows of the home list that were used, as they were written; None without a list.
    home_name : str
        What that list was called.
    """

    file: str
    brief: Brief
    lines: tuple[Line, ...]
    shades: tuple[Shade, ...]
    payable: int
    home: tuple[Mapping[str, str], ...] | None = None
    home_name: str = ""


def read_saved(path: str | Path) -> Saved:
    """Return the kit of a file that `pick --json` wrote.

    Raises
    ------
    BadInput
        With what is wrong with the file.
    """
    file = str(path)
    try:
        content = read_small(path)
    except OSError as fault:
        detail = (fault.strerror or "unreadable").lower()
        raise BadInput([UnreadableKit(file=file, detail=detail)]) from None
    except ValueError as fault:
        # The file is too long, or its name cannot be a path.
        raise BadInput([UnreadableKit(file=file, detail=str(fault))]) from None
    return saved_in(content, file)


def saved_in(content: bytes, file: str = "kit") -> Saved:
    """Return the kit of JSON.

    Raises
    ------
    BadInput
        With what is wrong with it.
    """
    try:
        data = json.loads(content.decode("utf-8-sig"), parse_float=decimal_of)
        # Half a pair of surrogates is no text, though JSON can spell it.
        json.dumps(data, ensure_ascii=False, default=str).encode("utf-8")
    except (ValueError, RecursionError):
        raise BadInput([NotASavedKit(file=file, detail="it is not JSON")]) from None
    return saved_of(data, file)


def saved_of(data: Any, file: str = "kit") -> Saved:
    """Return the kit of parsed data.

    Raises
    ------
    BadInput
        With what is wrong with it.
    """
    if not isinstance(data, Mapping) or "schema" not in data:
        raise BadInput([NotASavedKit(file=file, detail="it has no key schema")])
    if data["schema"] != SCHEMA:
        value = str(data["schema"])
        raise BadInput([OtherSchema(file=file, column="schema", value=value, detail=SCHEMA)])
    if data.get("status") == "no kit":
        raise BadInput([NothingSaved(file=file, column="status", value="no kit")])
    try:
        kit = _Kit.model_validate(dict(data))
    except ValidationError as fault:
        error = fault.errors(include_url=False)[0]
        place = ".".join(map(str, error["loc"]))
        detail = f"{place} is missing" if error["type"] == "missing" else f"{place} is not usable"
        raise BadInput([NotASavedKit(file=file, column=place, detail=detail)]) from None
    brief = _brief(kit.brief, file)
    for line in kit.lines:
        if line.role == "need" and line.category not in brief.holds:
            detail = f"{line.sku} meets the need {line.category}, which brief.holds does not name"
            raise BadInput([NotASavedKit(file=file, column="brief.holds", detail=detail)])
    try:
        return _saved(kit, brief, file)
    except ValueError:
        detail = "a sum, a quality or a difference is finer than it can be"
        raise BadInput([NotASavedKit(file=file, detail=detail)]) from None


def _brief(data: Mapping[str, Any], file: str) -> Brief:
    try:
        return brief_of(data, file)
    except BadInput as bad:
        found = [replace(finding, column=f"brief.{finding.column}") for finding in bad.findings]
        raise BadInput(found) from None


def _whole(value: Decimal) -> int:
    if value != int(value):
        raise ValueError
    return int(value)


def _in_halves(value: Decimal) -> int | Fraction:
    if 2 * value != int(2 * value):
        raise ValueError
    return int(value) if value == int(value) else Fraction(value)


def _saved(kit: _Kit, brief: Brief, file: str) -> Saved:
    return Saved(
        file=file,
        brief=brief,
        lines=tuple(
            Line(
                line.sku,
                line.name,
                line.category,
                line.role,
                line.units,
                brief.minor(line.price),
                _whole(line.quality * 100),
                line.from_home,
                line.from_home_m,
                line.left_after_m,
                currency=brief.currency,
            )
            for line in kit.lines
        ),
        shades=tuple(
            Shade(
                shade.chart_colour,
                _in_halves(shade.stitches),
                shade.sku,
                shade.thread_colour,
                _whole(shade.difference * DIFFERENCE_UNIT),
                shade.skeins,
            )
            for shade in kit.shades
        ),
        payable=brief.minor(kit.payable),
        home=kit.home.rows if kit.home else None,
        home_name=kit.home.source if kit.home else "",
    )
