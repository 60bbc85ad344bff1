"""From the rows of a source to the draft of its map."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from kitsolver.shop.columns.registry import columns
from kitsolver.shop.guess.assignment import SIZES, Assignment, Goods, assign
from kitsolver.shop.guess.by_goods import by_goods, with_sums
from kitsolver.shop.guess.draft import SAMPLES, Certainty, Guess, MapDraft, Missing, Unmapped
from kitsolver.shop.guess.goods import category_column, goods_of_rows
from kitsolver.shop.guess.looks import CellLooks
from kitsolver.shop.guess.meanings import (
    OWN_NAME,
    RELIABLE,
    Meaning,
    Meanings,
    main_language,
    numbered,
)
from kitsolver.shop.guess.number_style import number_style
from kitsolver.shop.guess.passed_over import gone, rows_of_no_goods
from kitsolver.shop.guess.shared_sizes import with_shared_sizes
from kitsolver.shop.guess.source_column import SourceColumn
from kitsolver.shop.guess.value_words import value_words
from kitsolver.shop.guess.values import Values
from kitsolver.shop.guess.words import matches
from kitsolver.shop.sources.header_names import folded
from kitsolver.shop.sources.records import Records

# Our columns that list several values in a cell, and may be joined from several columns.
_LISTED = ("colours", "tags", "needle_sizes")
# The tables of a map in the order in which they are drafted; "" holds the keys before them.
_TABLES = (
    "", "file", "columns", "split", "join", "pass_over", "categories", "weaves", "kinds",
    "lengths", "defaults",
)  # fmt: skip
# What a row of each kind of goods cannot do without, beside what all rows need.
_NEEDED: Mapping[str, tuple[tuple[str, ...], ...]] = {
    "chart": (("stitches_wide", "size chart"), ("stitches_high", "size chart"), ("colours",)),
    "fabric": (("weave",), ("count",), ("width_cm", "width_in", "size fabric")),
    "thread": (("colours",),),
    "needle": (("needle_sizes",),),
    "hoop": (("diameter_cm", "diameter_in"),),
}
_MIDDLE = "50"
# A weave is the default if this share of the names of fabric say it.
_MOSTLY = 0.8


def guess_map(records: Records) -> MapDraft:
    """Draft the map of a source from its headers, its cells, and how its columns hang together.

    Parameters
    ----------
    records : Records
        Its rows under its own headers.
    """
    goods_rows, passed_over = rows_of_no_goods(records)
    source = [
        SourceColumn.of(header, place, records.columns[header], goods_rows)
        for place, header in enumerate(records.columns)
        if header
    ]
    looks = CellLooks(number_style(column.texts for column in source))
    language = main_language(source)
    meanings = Meanings(looks, language)
    possible = [meaning for column in source for meaning in meanings.of(column)]
    category = category_column(source, possible, int(goods_rows.sum()))
    coded = records.columns[category.column.header] if category else None
    goods = np.where(goods_rows, goods_of_rows(coded, len(records.rows)), "")
    possible = [meaning for meaning in possible if meaning.ours != "category"]
    possible += _joined(source, meanings)
    if category is not None:
        possible.append(category)
    known = {meaning.column.place for meaning in possible}
    unknown = [column for column in source if column.place not in known]
    possible += by_goods(unknown, goods, looks)
    assignment = with_sums(assign(possible, goods), records, looks)
    assignment = _whole(with_shared_sizes(assignment, records, goods, looks), goods)
    states = gone(records, (m.column.header for m in assignment.unused.values()))
    guesses = [
        *_file(assignment, records),
        *_columns(assignment),
        *_merged((*passed_over, *states)),
        *Values(assignment.chosen, looks, language).guesses(),
        *value_words(assignment.chosen),
        *_defaults(assignment, records, goods),
    ]
    return MapDraft(
        tuple(sorted(guesses, key=lambda guess: _TABLES.index(guess.table))),
        tuple(_unmapped(source, assignment, meanings, guesses)),
        tuple(_missing(assignment, goods)),
        tuple(_notes(records)),
    )


def _joined(source: Sequence[SourceColumn], meanings: Meanings) -> Iterator[Meaning]:
    """Yield what numbered columns may mean together."""
    for base, group in numbered(source):
        together = SourceColumn.joined(base, group)
        for meaning in meanings.of(together):
            if meaning.ours in _LISTED:
                yield replace(meaning, score=meaning.score + 0.05)


def _whole(assignment: Assignment, goods: Goods) -> Assignment:
    """Return what is chosen, doubtful where rows that need a column mostly leave it blank."""
    chosen = dict(assignment.chosen)
    for category, needs in _NEEDED.items():
        here = goods == category
        for need in needs:
            found = [ours for ours in need if ours in chosen]
            if len(found) != 1 or not here.any() or chosen[found[0]].score >= OWN_NAME:
                continue
            meaning = chosen[found[0]]
            filled = meaning.column.filled[here].mean()
            if filled < 0.5:
                doubt = f"Only {filled:.0%} of the rows of {category}, which need it, fill it."
                chosen[found[0]] = replace(meaning, doubts=(*meaning.doubts, doubt))
    return replace(assignment, chosen=chosen)


def _columns(assignment: Assignment) -> Iterator[Guess]:
    """Yield the guesses for what columns mean, in the order of our columns."""
    said = {column.name: column.meaning for column in columns()}
    order = list(said)
    for ours, meaning in sorted(
        assignment.chosen.items(),
        key=lambda item: order.index(item[0]) if item[0] in order else len(order),
    ):
        column = meaning.column
        sure = meaning.score >= RELIABLE and not meaning.doubts
        if ours == folded(column.header) and not column.parts and sure:
            continue
        table, key = "columns", ours
        value: str | list[str] = column.header
        says = said.get(ours, "Metres of thread that are left over.")
        if ours.startswith("size "):
            value = list(SIZES[ours.removeprefix("size ")])
            table, key, says = "split", column.header, f"Each cell is {' and '.join(value)}."
        elif column.parts:
            table, value, says = "join", list(column.parts), f"Together: {says}"
        yield Guess(
            table,
            key,
            value,
            column.headers,
            says,
            " ".join((meaning.reason, *meaning.doubts)),
            Certainty.SURE if sure else Certainty.UNSURE,
            column.samples,
        )


def _file(assignment: Assignment, records: Records) -> Iterator[Guess]:
    """Yield the row of the header where the map has too few headers to find it by."""
    if records.header_row > 1 and not {"sku", "price"} <= assignment.chosen.keys():
        yield Guess(
            "file",
            "header_row",
            records.header_row,
            (),
            "This row names the columns.",
            "It is found by its shape; a header is otherwise found by those of sku and price.",
            Certainty.UNSURE,
            records.header[:SAMPLES],
        )


def _defaults(assignment: Assignment, records: Records, goods: Goods) -> Iterator[Guess]:
    if "quality" not in assignment.chosen:
        yield Guess(
            "defaults",
            "quality",
            _MIDDLE,
            (),
            f"Every row has quality {_MIDDLE}.",
            "No column says how good the goods are. All count the same until one does.",
            Certainty.UNSURE,
        )
    name = assignment.chosen.get("name")
    if "weave" in assignment.chosen or name is None:
        return
    coded = records.columns[name.column.header]
    names = coded.texts[coded.codes[goods == "fabric"]].tolist()
    weaves = Counter(found[0].meaning for text in names if (found := matches("weaves", text)))
    for weave, many in weaves.most_common(1):
        if many >= _MOSTLY * len(names):
            yield Guess(
                "defaults",
                "weave",
                weave,
                (),
                f"Every fabric is {weave}.",
                f"No column says the weave; {many} of {len(names)} names of fabric say {weave}.",
                Certainty.UNSURE,
                tuple(names[:SAMPLES]),
            )


def _unmapped(
    source: Sequence[SourceColumn],
    assignment: Assignment,
    meanings: Meanings,
    guesses: Sequence[Guess],
) -> Iterator[Unmapped]:
    used = {header for guess in guesses for header in guess.headers}
    kept = {m.column.header for m in assignment.chosen.values()}
    for column in source:
        if column.header in used | kept:
            continue
        if column.place in assignment.unused:
            reason = assignment.unused[column.place].reason
        elif column.place in assignment.barred:
            reason = assignment.barred[column.place]
        else:
            reason = meanings.why_not(column)
        yield Unmapped(column.header, reason, column.samples)


def _merged(guesses: Iterable[Guess]) -> Iterator[Guess]:
    """Yield the guesses of rows to pass over, one for each header."""
    by_header: dict[str, Guess] = {}
    for guess in guesses:
        before = by_header.get(guess.key)
        if before is None:
            by_header[guess.key] = guess
            continue
        words = [*_words(before), *(word for word in _words(guess) if word not in _words(before))]
        by_header[guess.key] = replace(
            before,
            value=words,
            reason=f"{before.reason} {guess.reason}",
            # As words, "unsure" comes after "sure".
            certainty=max(before.certainty, guess.certainty),
            samples=tuple(words[:SAMPLES]),
        )
    yield from by_header.values()


def _words(guess: Guess) -> list[str]:
    return guess.value if isinstance(guess.value, list) else []


def _notes(records: Records) -> Iterator[str]:
    yield from (note.sentence for note in records.notes)
    if records.findings:
        yield f"{len(records.findings)} rows were left out, for they are not well-formed."


def _missing(assignment: Assignment, goods: Goods) -> Iterator[Missing]:
    for column in columns():
        if (
            column.required
            and not column.categories
            and column.name not in {*assignment.chosen, "quality"}
        ):
            yield Missing(column.name, _lacking(column.name, "every row needs"))
    for category, needs in _NEEDED.items():
        if not (goods == category).any():
            continue
        for ways in needs:
            if not any(way in assignment.chosen for way in ways):
                ours = next(way for way in ways if " " not in way)
                yield Missing(ours, _lacking(ours, f"rows of {category} need"))


def _lacking(ours: str, need: str) -> str:
    return (
        f"No column seems to be {ours}, which {need}. Name it in [columns]; or give all rows "
        f"the same in [defaults]."
    )
