"""How the columns of goods that were handed in are matched with ours, and how that is corrected."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Any

import tomli_w

from kitsolver.page.catalogue_to_read import CatalogueToRead
from kitsolver.page.page_findings import ColumnTwice
from kitsolver.shop.columns.registry import columns
from kitsolver.shop.findings import BadInput, Finding
from kitsolver.shop.guess.draft import Certainty, MapDraft
from kitsolver.shop.guess.guess_map import guess_map
from kitsolver.shop.guess.guess_source import read_by_shape
from kitsolver.shop.maps.mapping import ColumnMap
from kitsolver.shop.sources.records import Records
from kitsolver.shop.toml_text import parse_toml

_SAMPLES, _LONGEST_SAMPLE = 3, 40
# Our columns that list several values, and may be filled from several columns of the shop's.
_LISTED = ("colours", "tags", "needle_sizes")
_SPLIT, _JOIN = "split:", "join:"


@dataclass(frozen=True)
class HeaderMatch:
    """A column of the shop's: its header, some of its cells, and which of ours it is.

    Parameters
    ----------
    target : str
        Our column; blank for none. Behind ``split:`` stand several of ours, which its cells hold
        together, and behind ``join:`` one of which it is a part.
    reason : str
        Why it was guessed, or why it was not.
    unsure : bool
        Whether a person has to look at it.
    """

    header: str
    samples: tuple[str, ...]
    target: str
    reason: str = ""
    unsure: bool = False


@dataclass(frozen=True)
class GoodsMatch:
    """How all columns are matched.

    Parameters
    ----------
    map_text : str
        The map, as TOML.
    told : tuple of str
        What the map says beside the columns, in sentences.
    missing : tuple of str
        What the goods need and no column seems to be, in sentences.
    """

    headers: tuple[HeaderMatch, ...]
    map_text: str
    told: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()

    @property
    def targets(self) -> tuple[str, ...]:
        """What a column may be: nothing, one of ours, and what some column is now."""
        ours = sorted(column.name for column in columns())
        now = (one.target for one in self.headers if _SPLIT in one.target or _JOIN in one.target)
        return ("", *ours, *dict.fromkeys(now))


def match_of(source: CatalogueToRead, map_text: str | None = None) -> GoodsMatch:
    """Return how the columns of a file are matched; a task of worker processes.

    Parameters
    ----------
    map_text : str, optional
        The map that says so; guessed without it.

    Raises
    ------
    BadInput
        If the file cannot be read, or the map is none.
    """
    data = None if map_text is None else _data(map_text)
    records, draft = _read(source, None if data is None else data.get("file"))
    if data is None:
        data = draft.data
        if records.header_row > 1:
            # Whoever corrects the match may take away the headers that it is found by.
            data["file"] = {**data.get("file", {}), "header_row": records.header_row}
    reasons = _reasons(draft)
    matches = []
    for header in records.columns:
        if not header:
            continue
        target = _target(header, data)
        guessed = target == _target(header, draft.data)
        reason, unsure = reasons.get(header, ("", False)) if guessed else ("", False)
        matches.append(HeaderMatch(header, _samples(records, header), target, reason, unsure))
    told = [guess.meaning for guess in draft.guesses if guess.table not in ("columns", "file")]
    return GoodsMatch(
        tuple(matches),
        tomli_w.dumps(data),
        tuple(told) if map_text is None else (),
        tuple(each.reason for each in draft.missing),
    )


def _read(source: CatalogueToRead, written: Any) -> tuple[Records, MapDraft]:
    """Return the rows of a file, whose header is found by its shape, and the draft of its map.

    Parameters
    ----------
    written : mapping, optional
        How the file is written, as a map says it.
    """
    by = ColumnMap.model_validate({"file": written}) if written else None
    records = read_by_shape(source.path, name=source.name, mapping=by)
    return records, guess_map(records)


def corrected(map_text: str, chosen: Sequence[tuple[str, str]]) -> str:
    """Return a map in which some headers are other columns of ours.

    Parameters
    ----------
    chosen : sequence of (str, str)
        Headers and what they are, as `HeaderMatch.target` has it.

    Raises
    ------
    BadInput
        If two headers are said to be one column that does not list several values.
    """
    data = _data(map_text)
    held: dict[str, list[str]] = {}
    split: dict[str, list[str]] = {}
    for header, target in chosen:
        if target.startswith(_SPLIT):
            split[header] = target.removeprefix(_SPLIT).split(",")
        elif target:
            held.setdefault(target.removeprefix(_JOIN), []).append(header)
    twice = {ours: headers for ours, headers in held.items() if len(headers) > 1}
    if wrong := [
        ColumnTwice(file="the match", column=header, value=ours)
        for ours, headers in twice.items()
        if ours not in _LISTED
        for header in headers
    ]:
        raise BadInput(wrong)
    tables: dict[str, Any] = {
        "columns": {ours: headers[0] for ours, headers in held.items() if ours not in twice},
        "join": dict(twice),
        "split": split,
    }
    new = {key: value for key, value in data.items() if key not in tables}
    named = {*held, *(ours for several in split.values() for ours in several)}
    if "lengths" in new:
        new["lengths"] = {ours: unit for ours, unit in new["lengths"].items() if ours in named}
    return tomli_w.dumps(new | {key: table for key, table in tables.items() if table})


def _data(map_text: str) -> dict[str, Any]:
    try:
        return parse_toml(map_text)
    except ValueError as fault:
        from kitsolver.shop.sources.source_findings import UnreadableMap

        detail = f"is no TOML: {str(fault).rstrip('.').lower()}"
        raise BadInput([UnreadableMap(file="the map", detail=detail)]) from None


def _target(header: str, data: Mapping[str, Any]) -> str:
    """Return which column of ours a header is, by a map."""
    for ours, theirs in data.get("columns", {}).items():
        if theirs == header:
            return str(ours)
    for ours, several in data.get("join", {}).items():
        if header in several:
            return f"{_JOIN}{ours}"
    if header in data.get("split", {}):
        return f"{_SPLIT}{','.join(data['split'][header])}"
    mapped = {*data.get("columns", {}), *data.get("join", {})}
    ours = header.casefold()
    return ours if ours in {column.name for column in columns()} - mapped else ""


def _reasons(draft: MapDraft) -> dict[str, tuple[str, bool]]:
    """Return for each header why it was guessed, or was not, and whether that is unsure."""
    found = {each.header: (each.reason, False) for each in draft.unmapped}
    for guess in draft.guesses:
        if guess.table in ("columns", "split", "join"):
            for header in guess.headers:
                found[header] = (guess.reason, guess.certainty is Certainty.UNSURE)
    return found


def _samples(records: Records, header: str) -> tuple[str, ...]:
    """Return some cells of a column, those first that most rows have."""
    coded = records.columns[header]
    common = Counter(coded.codes.tolist()).most_common(_SAMPLES + 1)
    texts = (str(coded.texts[code]).strip() for code, _ in common)
    return tuple(islice((_cut(text) for text in texts if text), _SAMPLES))


def _cut(text: str) -> str:
    return text if len(text) <= _LONGEST_SAMPLE else f"{text[: _LONGEST_SAMPLE - 1]}…"


@dataclass(frozen=True)
class FindingGroup:
    """Findings of one kind in one column, with some of the rows where they are."""

    first: Finding
    number: int
    rows: tuple[int, ...]
    values: tuple[str, ...]


def grouped(findings: Sequence[Finding]) -> list[FindingGroup]:
    """Return findings by kind and column, errors first and the most frequent first."""
    groups: dict[tuple[str, str | None], list[Finding]] = {}
    for finding in findings:
        groups.setdefault((finding.code, finding.column), []).append(finding)
    found = [
        FindingGroup(
            group[0],
            len(group),
            tuple(islice((one.row for one in group if one.row is not None), 8)),
            tuple(islice(dict.fromkeys(one.value for one in group if one.value is not None), 3)),
        )
        for group in groups.values()
    ]
    return sorted(found, key=lambda group: (group.first.warning, -group.number))
