"""What columns mean by the goods that fill them, and by how their sums compare, row by row."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from kitsolver.shop.guess.assignment import Assignment, Goods
from kitsolver.shop.guess.looks import CellLooks, Looks
from kitsolver.shop.guess.meanings import BY_CELLS, FITTING, Meaning
from kitsolver.shop.guess.source_column import MOST_JUDGED, SourceColumn
from kitsolver.shop.sources.records import Records

# Counts that fabric is sold in: other numbers are not taken for a count by themselves.
_USUAL_COUNTS = frozenset(
    map(str, (11, 14, 16, 18, 20, 22, 25, 26, 27, 28, 30, 32, 35, 36, 40, 46, 55))
)
# A sum is what the shop pays if it is the lower one in this share of the rows.
_MOSTLY = 0.95


def by_goods(columns: Sequence[SourceColumn], goods: Goods, looks: CellLooks) -> Iterator[Meaning]:
    """Yield what columns of which nothing else is known mean by the goods that fill them.

    Parameters
    ----------
    columns : sequence of SourceColumn
        The columns of which nothing else is known.
    goods : numpy.ndarray
        For each row which goods it is.
    looks : CellLooks
        How the cells look in this source.
    """
    alone = {"hoop": "diameter_cm", "needle": "needle_sizes", "fabric": "count"}
    pairs = {"chart": ("stitches_wide", "stitches_high"), "fabric": ("width_cm", "height_cm")}
    before: tuple[SourceColumn, str] | None = None
    for column in columns:
        only = set(goods[column.filled].tolist())
        which = only.pop() if len(only) == 1 else ""
        ours = alone.get(which, "")
        if ours and column.share(looks.by_column[ours].looks) == 1 and _is_usual(ours, column):
            yield _by_rows(ours, column, which)
            before = None
        elif which in pairs and _fits(column, looks.by_column[pairs[which][0]].looks):
            if before is not None and before[1] == which and before[0].place == column.place - 1:
                first, second = pairs[which]
                yield _by_rows(first, before[0], which)
                yield _by_rows(second, column, which)
                before = None
            else:
                before = column, which


def with_sums(assignment: Assignment, records: Records, looks: CellLooks) -> Assignment:
    """Return what is chosen, with regard to which of two sums is lower in most rows."""
    price = assignment.chosen.get("price")
    if price is None:
        return assignment
    chosen = dict(assignment.chosen)
    taken = {meaning.column.header for meaning in chosen.values()}
    # What is known as something else, such as a weight, is no sum.
    others = {meaning.column.header for meaning in assignment.unused.values()}
    prices = _sums(records, price.column.header, looks)
    for header, coded in records.columns.items():
        texts = [text for text in coded.texts[:MOST_JUDGED].tolist() if text]
        if not header or header in others or header == price.column.header or not texts:
            continue
        if sum(map(looks.money, texts)) < FITTING * len(texts) or not _has_parts(texts, looks):
            continue
        sums = _sums(records, header, looks)
        both = ~np.isnan(prices) & ~np.isnan(sums)
        lower = float((sums[both] < prices[both]).mean()) if both.any() else 0.0
        higher = float((sums[both] > prices[both]).mean()) if both.any() else 0.0
        if header == chosen.get("trade_cost", price).column.header and higher > 1 - _MOSTLY:
            doubt = "It is more than the price in some rows."
            cost = chosen["trade_cost"]
            chosen["trade_cost"] = replace(cost, doubts=(*cost.doubts, doubt))
        elif header not in taken and higher > _MOSTLY:
            doubt = f"The sums of {header!r} are higher."
            chosen["price"] = replace(chosen["price"], doubts=(*chosen["price"].doubts, doubt))
        elif header not in taken and lower > _MOSTLY and "trade_cost" not in chosen:
            place, rows = (
                list(records.columns).index(header),
                np.ones(len(records.rows), dtype=bool),
            )
            column = SourceColumn.of(header, place, coded, rows)
            reason = "It holds sums of money that are lower than the price."
            chosen["trade_cost"] = Meaning(BY_CELLS, "trade_cost", column, reason)
    return replace(assignment, chosen=chosen)


def _by_rows(ours: str, column: SourceColumn, which: str) -> Meaning:
    reason = f"The header does not say it; only rows of {which} fill it, and its cells would fit."
    return Meaning(BY_CELLS, ours, column, reason)


def _fits(column: SourceColumn, looks: Looks) -> bool:
    return bool(column.texts) and column.share(looks) == 1


def _is_usual(ours: str, column: SourceColumn) -> bool:
    return ours != "count" or _USUAL_COUNTS.issuperset(column.texts)


def _has_parts(texts: Sequence[str], looks: CellLooks) -> bool:
    """Tell whether a column of numbers holds sums: some of them are not whole."""
    read = [found.value for text in texts if (found := looks.style.read(text))]
    return any(value != int(value) for value in read)


def _sums(records: Records, header: str, looks: CellLooks) -> npt.NDArray[np.float64]:
    """Return for each row the number of a column; what is no number is not a number."""
    coded = records.columns[header]
    read = [looks.style.read(text) for text in coded.texts.tolist()]
    values = np.array([float(found.value) if found else np.nan for found in read])
    sums: npt.NDArray[np.float64] = values[coded.codes]
    return sums
