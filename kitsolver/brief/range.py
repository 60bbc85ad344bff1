"""A range: several kits, each in so many copies, that are made from one stock."""

from __future__ import annotations

import copy
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, ValidationError

from kitsolver.brief import brief_findings, range_findings
from kitsolver.brief.brief import Brief
from kitsolver.brief.error_findings import findings_of
from kitsolver.brief.file_names import unusable_because
from kitsolver.brief.letter_case import lower_case
from kitsolver.brief.numbers import Counted, Word
from kitsolver.brief.reading import brief_of, data_of
from kitsolver.shop.findings import BadInput, Finding, nearest
from kitsolver.shop.sources.source_address import masked


class _Kit(BaseModel):
    """One kit as the file has it; all further keys are keys of its brief."""

    model_config = ConfigDict(frozen=True, extra="allow")

    name: Word
    copies: Counted = 1
    brief: Word | None = None


class _File(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")

    title: Annotated[str, Field(strict=True)] = ""
    currency: Word
    plan: Literal["together", "in order"] = "together"
    distinct: tuple[Annotated[Word, AfterValidator(str.lower)], ...] = ()
    brief: dict[str, Any] = {}
    kits: list[_Kit]


@dataclass(frozen=True)
class RangeKit:
    """One kit of a range.

    Parameters
    ----------
    name : str
        What it is called; no two of a range alike.
    copies : int
        How many of the kit are made.
    brief : Brief
        What each copy must be like.
    """

    name: str
    copies: int
    brief: Brief


@dataclass(frozen=True)
class Range:
    """Several kits from one stock.

    Parameters
    ----------
    file : str
        Where it was read from.
    in_order : bool
        Whether each kit is the best from the stock that the kits before it leave; else the kits
        are the best together.
    distinct : tuple of str
        Categories whose rows are each in one kit at most.
    """

    file: str
    title: str
    currency: str
    in_order: bool
    distinct: tuple[str, ...]
    kits: tuple[RangeKit, ...]


def read_range(path: str | Path) -> Range:
    """Return the range of a TOML file.

    Raises
    ------
    BadInput
        With every finding.
    """
    name = str(path)
    data = data_of(path)
    try:
        file = _File.model_validate(data)
    except ValidationError as fault:
        raise BadInput(findings_of(fault, name, _File)) from None
    findings = list(_name_findings(file, name))
    kits = []
    for kit in file.kits:
        try:
            brief = _brief(kit, file, Path(path))
        except BadInput as bad:
            findings += [_placed(finding, kit.name, name) for finding in bad.findings]
            continue
        kits.append(RangeKit(kit.name, kit.copies, brief))
        if brief.currency != file.currency:
            column = f"kits.{kit.name}.currency"
            findings.append(
                range_findings.OtherCurrency(file=name, column=column, value=brief.currency)
            )
        if brief.home.source is not None:
            column = f"kits.{kit.name}.home.from"
            findings.append(
                range_findings.HomeListInRange(
                    file=name, column=column, value=masked(brief.home.source)
                )
            )
        if brief.extras.spend == "together" and file.plan == "together":
            column = f"kits.{kit.name}.extras.spend"
            findings.append(
                range_findings.WeighedTogether(file=name, column=column, value="together")
            )
    if findings:
        raise BadInput(findings)
    in_order = file.plan == "in order"
    return Range(name, file.title, file.currency, in_order, file.distinct, tuple(kits))


def _name_findings(file: _File, name: str) -> Iterator[Finding]:
    if not file.kits:
        yield range_findings.EmptyRange(file=name, column="kits")
    for kit in file.kits:
        if detail := unusable_because(kit.name):
            yield range_findings.UnusableKitName(
                file=name, column="kits.name", value=kit.name, detail=detail
            )
    for kit_name, times in Counter(kit.name.casefold() for kit in file.kits).items():
        if times > 1:
            yield range_findings.RepeatedKitName(file=name, column="kits.name", value=kit_name)


def _brief(kit: _Kit, file: _File, path: Path) -> Brief:
    """Return the brief of a kit.

    The kit's own keys replace those of ``[brief]``, and these replace those of the kit's file.
    """
    data: dict[str, Any] = {"currency": file.currency}
    if kit.brief is not None:
        data |= lower_case(data_of(path.parent / kit.brief))
    own = kit.model_extra or {}
    for over in map(lower_case, (file.brief, own)):
        if {"cap", "cap_per_head"} & over.keys():
            data.pop("cap", None)
            data.pop("cap_per_head", None)
        data = _merged(data, over)
    data.setdefault("title", kit.name)
    return brief_of(data, str(path))


def _merged(under: Mapping[str, Any], over: Mapping[str, Any]) -> dict[str, Any]:
    """Return tables in which the keys of others are replaced, tables within tables likewise."""
    merged = copy.deepcopy(dict(under))
    for key, value in over.items():
        before = merged.get(key)
        both = isinstance(value, Mapping) and isinstance(before, Mapping)
        merged[key] = _merged(before or {}, value) if both else copy.deepcopy(value)
    return merged


def _placed(finding: Finding, kit: str, name: str) -> Finding:
    """Return the finding of a kit's brief with its place in the range file."""
    if finding.file != name:
        return finding
    column = f"kits.{kit}.{finding.column}" if finding.column else f"kits.{kit}"
    detail = finding.detail
    if isinstance(finding, brief_findings.UnknownKey) and "." not in (finding.column or "."):
        # The key may be a misspelt key of the kit's table in the range.
        detail = nearest(str(finding.column), [*_Kit.model_fields, *Brief.model_fields])
    return replace(finding, column=column, detail=detail)
