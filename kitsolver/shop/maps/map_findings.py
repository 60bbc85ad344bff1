"""What a map of columns says wrongly, before it is held against a source."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from kitsolver.shop.columns.cells import WEAVES
from kitsolver.shop.columns.registry import KNOWN, LEFT, LISTS, NUMERIC
from kitsolver.shop.findings import Finding, nearest
from kitsolver.shop.maps.mapping import LENGTHS, ColumnMap
from kitsolver.shop.sources.header_names import folded
from kitsolver.shop.sources.source_findings import BadMap, UnknownOwnColumn

_OURS = KNOWN | {LEFT}


def map_findings(by: ColumnMap, file: str) -> Iterator[Finding]:
    """Yield what is wrong with a map by itself.

    Parameters
    ----------
    by : ColumnMap
        The map.
    file : str
        What findings call it.
    """
    for place, name, known in _named(by):
        if name not in known:
            yield UnknownOwnColumn(file=file, column=place, value=name, detail=nearest(name, known))
    for key, value, hint in (*_values(by), *_words(by), *_twice(by)):
        yield BadMap(file=file, column=key, value=value, detail=hint)


def _named(by: ColumnMap) -> Iterator[tuple[str, str, Iterable[str]]]:
    """Yield each column of ours that a map names, with its key and the columns it may be."""
    for table, names, known in (
        ("columns", by.columns, _OURS),
        ("lengths", by.lengths, LENGTHS),
        ("join", by.join, LISTS),
        ("defaults", by.defaults, _OURS),
    ):
        for name in names:
            yield f"{table}.{name}", name, known
    for theirs, ours in by.split.items():
        for name in ours:
            yield f"split.{theirs}", name, NUMERIC


def _values(by: ColumnMap) -> Iterator[tuple[str, str, str]]:
    """Yield the key, the value and the mend of what cannot be meant."""
    if (between := by.thousands) is not None:
        mark = "," if by.decimal_comma else "."
        if len(between) != 1 or between.isalnum() or between in "+-":
            yield "thousands", between, "write the one character that stands between thousands"
        elif between == mark:
            what = "a comma" if by.decimal_comma else "a point"
            yield (
                "thousands",
                between,
                f"decimals follow {what}: write another character, or correct decimal_comma",
            )
    if by.stars is not None and (len(by.stars) != 1 or by.stars.isalnum() or by.stars.isspace()):
        yield "stars", by.stars, "write the one character that is counted"
    for key in ("currency_signs", "units_in_cells"):
        for word in getattr(by, key):
            if any(sign.isdigit() for sign in word) or word.strip() in (".", ","):
                yield key, word, "write what stands beside a number, without digits"
    for theirs, ours in by.split.items():
        if len(ours) < 2:
            yield f"split.{theirs}", ", ".join(ours), "name two columns or more, or use [columns]"
    for name, parts in by.join.items():
        if not parts:
            yield f"join.{name}", "", "name the headers whose cells are joined"
    for theirs, values in by.pass_over.items():
        if not values:
            yield f"pass_over.{theirs}", "", "list the values of the rows to pass over"


def _words(by: ColumnMap) -> Iterator[tuple[str, str, str]]:
    """Yield what is wrong with the words that a map translates."""
    for theirs, ours in by.weaves.items():
        if ours.casefold() not in WEAVES:
            yield f"weaves.{theirs}", ours, nearest(ours, WEAVES) or f"one of {', '.join(WEAVES)}"
    for word in sorted(set(map(folded, by.yes)) & set(map(folded, by.no))):
        yield "yes", word, "it stands for no, too: keep it in one of yes and no"
    for table in ("categories", "weaves", "kinds"):
        meant: dict[str, str] = {}
        for theirs, ours in getattr(by, table).items():
            if folded(meant.setdefault(folded(theirs), ours)) != folded(ours):
                yield f"{table}.{theirs}", ours, "words match in any case: keep one of them"


def _twice(by: ColumnMap) -> Iterator[tuple[str, str, str]]:
    """Yield the columns of ours that a map fills from more than one place."""
    named = Counter([*by.columns, *by.join, *(each for all_ in by.split.values() for each in all_)])
    for name in sorted(name for name, times in named.items() if times > 1):
        yield name, name, "name it once in [columns], [split] and [join] together"
