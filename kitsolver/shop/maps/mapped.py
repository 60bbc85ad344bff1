"""Gives the rows of a source the names and the values of a catalogue."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from kitsolver.shop.cell_faults import LONGEST, Fault, Refused
from kitsolver.shop.columns.registry import KNOWN, LEFT, columns
from kitsolver.shop.distinct import distinct
from kitsolver.shop.findings import BadInput, nearest
from kitsolver.shop.skipped import counted
from kitsolver.shop.sources.header_names import folded
from kitsolver.shop.sources.records import Coded, Records
from kitsolver.shop.sources.source_findings import MappedColumnMissing

if TYPE_CHECKING:
    from kitsolver.shop.maps.map_values import Values
    from kitsolver.shop.maps.mapping import ColumnMap

_OURS = KNOWN | {LEFT}
# Rows are identified and sorted by these columns, so each of their texts has one code.
_IDENTIFYING = frozenset({"sku", "category"})
# Stands for every category among those that use a column.
_EVERY = ""


def known_names(records: Records) -> Records:
    """Return the rows of a source in whose header our names are in lower case."""
    return _renamed(records, {}, frozenset())


def mapped(records: Records, by: ColumnMap, name: str) -> Records:
    """Return the rows of a source under the names and with the values of a catalogue.

    Parameters
    ----------
    records : Records
        The rows as they were read.
    by : ColumnMap
        The map.
    name : str
        What findings call the source.

    Raises
    ------
    BadInput
        If it lacks a column that the map names.
    """
    # A map and its values take a while to import, and most sources have none.
    from kitsolver.shop.maps.map_values import Values

    headers = _Headers(records.header)
    missing = [
        MappedColumnMissing(
            file=name, column=header, value=use, detail=nearest(header, records.header)
        )
        for header, use in _uses(by)
        if header not in headers
    ]
    if missing:
        raise BadInput(missing)
    ours: dict[str, list[str]] = {}
    for own, header in by.columns.items():
        ours.setdefault(headers[header], []).append(own)
    given = frozenset(by.columns).union(by.join, *by.split.values())
    renamed = _renamed(records, ours, given)
    found = dict(renamed.columns)
    values = Values(by)
    for header, columns_of_ours in by.split.items():
        found |= _split(records.columns[headers[header]], columns_of_ours, values)
    for own, parts in by.join.items():
        found[own] = _joined([records.columns[headers[part]] for part in parts])
    for own in _OURS.intersection(found).difference(*by.split.values()):
        found[own] = _converted(found[own], values.converts(own, found[own].typed))
    _fill(found, by.defaults, len(records.rows))
    for own in _IDENTIFYING.intersection(found):
        found[own] = found[own].distinct()
    names = (*renamed.header, *(own for own in found if own not in renamed.columns))
    whole = replace(renamed, header=names, columns=found)
    return _without(whole, _passed_over(records, by, headers))


class _Headers:
    """The headers of a source, found in any case."""

    def __init__(self, header: Iterable[str]) -> None:
        self._by_name: dict[str, str] = {}
        for name in header:
            self._by_name.setdefault(folded(name), name)
        self._by_name |= {name: name for name in header}

    def __contains__(self, name: str) -> bool:
        return name.strip() in self._by_name or folded(name) in self._by_name

    def __getitem__(self, name: str) -> str:
        exact = self._by_name.get(name.strip())
        return exact if exact is not None else self._by_name[folded(name)]


def _uses(by: ColumnMap) -> Iterator[tuple[str, str]]:
    """Yield each header that a map names, and what it is used for."""
    for own, header in by.columns.items():
        yield header, own
    for header, columns_of_ours in by.split.items():
        yield header, " and ".join(columns_of_ours)
    for own, headers in by.join.items():
        for header in headers:
            yield header, own
    for header in by.pass_over:
        yield by.header_of(header), "pass_over"


def _renamed(records: Records, ours: Mapping[str, Sequence[str]], given: frozenset[str]) -> Records:
    """Return the rows with each column under its name in the catalogue.

    Parameters
    ----------
    ours : mapping of str to sequence of str
        For a header the names that the map gives it.
    given : frozenset of str
        All of our names that the map gives to some column. A header that bears such a name by
        itself is the shop's own.
    """
    names: list[str] = []
    columns: dict[str, Coded] = {}
    taken = given.union(_OURS.intersection(records.header))
    for header in records.header:
        own = folded(header)
        if header in ours:
            called = ours[header]
        elif header in given:
            called = [f"{header} (as it was)"]
        elif own in _OURS and own not in taken:
            called, taken = [own], taken | {own}
        else:
            called = [header]
        names += called
        for name in called:
            columns.setdefault(name, records.columns[header])
    return replace(records, header=tuple(names), columns=columns)


def _converted(coded: Coded, convert: Callable[[str], str] | None) -> Coded:
    """Return a column with the texts that a catalogue has; what is no number stays as it is."""
    if convert is None:
        return coded
    texts, faults = coded.texts.copy(), dict(coded.faults)
    for code, text in enumerate(texts.tolist()):
        if text and code not in faults:
            try:
                texts[code] = convert(text)
            except Refused as refused:
                faults[code] = refused.faults
    if not faults and (texts == coded.texts).all():
        return coded
    written = coded.texts if coded.written is None else coded.written
    return Coded(coded.codes, texts, faults, written)


def _split(coded: Coded, ours: tuple[str, ...], values: Values) -> dict[str, Coded]:
    """Return the columns that the parts of a column's cells fill."""
    texts = {own: coded.texts.copy() for own in ours}
    faults: dict[str, dict[int, tuple[Fault, ...]]] = {own: {} for own in ours}
    converts = [values.converts(own) for own in ours]
    for code, text in enumerate(coded.texts.tolist()):
        if not text:
            continue
        try:
            parts = values.split(ours, text)
        except Refused as refused:
            # The fault is reported for the first column only.
            for own in ours:
                faults[own][code] = refused.faults if own == ours[0] else ()
            continue
        for own, part, convert in zip(ours, parts, converts, strict=True):
            try:
                texts[own][code] = convert(part) if convert else part
            except Refused as refused:
                faults[own][code] = refused.faults
    return {own: Coded(coded.codes, texts[own], faults[own], coded.texts) for own in ours}


def _joined(parts: Sequence[Coded]) -> Coded:
    """Return a column of lists, each of the cells of one row that are not blank."""
    codes = np.zeros(len(parts[0].codes), dtype=np.int64)
    lists: list[str] = [""]
    for part in parts:
        # Each pair of a list so far and a text of the next column that some row has.
        both, pairs = distinct(codes * len(part.texts) + part.codes)
        before, behind = np.divmod(pairs, max(1, len(part.texts)))
        lists = [
            ";".join(filter(None, (lists[old], part.texts[new])))
            for old, new in zip(before.tolist(), behind.tolist(), strict=True)
        ]
        codes = both
    return Coded(codes.astype(np.int32), np.array(lists, dtype=object)).distinct()


def _fill(found: dict[str, Coded], defaults: Mapping[str, str], rows: int) -> None:
    """Give blank cells the defaults of a map, and missing columns too.

    A column that only some categories use is filled in their rows alone.
    """
    users: dict[str, set[str]] = {}
    for column in columns():
        users.setdefault(column.name, set()).update(column.categories or (_EVERY,))
    for own in sorted(defaults, key=lambda own: own != "category"):
        coded = found.get(own)
        if coded is None:
            coded = Coded(np.zeros(rows, dtype=np.int32), np.array([""], dtype=object))
        blank = ~coded.filled()
        if _EVERY not in users.get(own, {_EVERY}):
            category = found.get("category")
            blank &= category.among(users[own]) if category is not None else False
        codes = np.where(blank, len(coded.texts), coded.codes).astype(np.int32)
        texts = np.append(coded.texts, np.array([defaults[own].strip()], dtype=object))
        written = None if coded.written is None else np.append(coded.written, texts[-1:])
        found[own] = Coded(codes, texts, coded.faults, written)


def _passed_over(records: Records, by: ColumnMap, headers: _Headers) -> npt.NDArray[np.bool_]:
    """Return which rows are passed over."""
    passed = np.zeros(len(records.rows), dtype=bool)
    for header, words in by.passing.items():
        passed |= records.columns[headers[header]].among(words)
    return passed


def _without(records: Records, passed: npt.NDArray[np.bool_]) -> Records:
    """Return the records without some rows, which are counted."""
    if not passed.any():
        return records
    left = ~passed
    places = np.flatnonzero(passed)

    def said(name: str) -> list[str]:
        if name not in records.columns:
            return [""] * len(places)
        coded = records.columns[name]
        return coded.texts[coded.codes[places]].tolist()  # type: ignore[no-any-return] # of texts

    skus = dict(zip(reversed(said("sku")), reversed(records.rows[places].tolist()), strict=True))
    skus.pop("", None)
    readable = [word.lower() if len(word) <= LONGEST else "" for word in said("category")]
    # Rows that were passed over earlier had too few or too many cells, so they have no category.
    readable += [""] * sum(each.rows for each in records.skipped)
    return replace(
        records,
        rows=records.rows[left],
        columns={name: coded.of_rows(left) for name, coded in records.columns.items()},
        skipped=counted("passed over", readable),
        passed_over=skus,
    )
