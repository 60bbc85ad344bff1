"""Chooses for each column of a source what it means, so that all of them hang together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from kitsolver.shop.columns.registry import columns as our_columns
from kitsolver.shop.guess.goods import WITH_COLUMNS
from kitsolver.shop.guess.meanings import OWN_NAME, Meaning

Goods = npt.NDArray[np.object_]

# This share of a column's filled rows must be of goods that use it.
_OF_ITS_GOODS = 0.8
# If two columns' scores differ by no more than this, either may be meant.
_CLOSE = 0.04
# Columns that are of use in pairs only.
_PAIRS = (("stitches_wide", "stitches_high"), ("width_cm", "height_cm"))
# What a size column may be, by the goods of its rows.
SIZES: Mapping[str, tuple[str, str]] = {
    "chart": ("stitches_wide", "stitches_high"),
    "fabric": ("width_cm", "height_cm"),
}
_NO_SIZE = ("chart", "thread", "needle")


@dataclass(frozen=True)
class Assignment:
    """What the columns of a source mean.

    Parameters
    ----------
    chosen : dict of str to Meaning
        For each column of ours what means it; ``size chart`` and ``size fabric`` for a column that
        holds two lengths.
    unused : dict of int to Meaning
        By their places the columns of which kitsolver makes no use.
    barred : dict of int to str
        By their places why columns do not mean what their headers say.
    """

    chosen: dict[str, Meaning]
    unused: dict[int, Meaning]
    barred: dict[int, str]


def assign(meanings: Iterable[Meaning], goods: Goods) -> Assignment:
    """Choose what each column means.

    The most reliable meaning is taken first; each column has one meaning, each of ours one column.
    What does not hang together is barred, and all is chosen again without it.

    Parameters
    ----------
    meanings : iterable of Meaning
        What each column may mean by itself.
    goods : numpy.ndarray
        For each row which goods it is.
    """
    barred: dict[int, str] = {}
    possible = list[Meaning]()
    for meaning in meanings:
        for one in _by_goods(meaning, goods):
            if reason := _against(one, goods):
                barred.setdefault(one.column.place, reason)
            else:
                possible.append(one)
    while True:
        chosen, unused = _greedy(possible)
        if "price" not in chosen and "trade_cost" in chosen:
            chosen["price"] = _as_price(chosen.pop("trade_cost"))
        wrong = list(_without_partner(chosen))
        if not wrong:
            return Assignment(_with_rivals(chosen, possible), unused, barred)
        for meaning, reason in wrong:
            barred[meaning.column.place] = reason
            possible.remove(meaning)


def goods_using(ours: str) -> tuple[str, ...]:
    """Return the categories whose rows use a column of ours; none if all do."""
    return tuple(
        category
        for column in our_columns()
        if column.name == ours
        for category in column.categories
    )


def _by_goods(meaning: Meaning, goods: Goods) -> Iterator[Meaning]:
    """Yield a meaning; a size by the goods that have it."""
    if meaning.ours != "size":
        yield meaning
        return
    here = goods[meaning.column.filled].tolist()
    counts = {which: here.count(which) for which in (*SIZES, "")}
    which = max(counts, key=lambda each: counts[each])
    if not any(here):
        which = "fabric"
        doubt = "Which goods its rows are is not known; sizes of fabric are taken."
        yield replace(meaning, ours="size fabric", doubts=(*meaning.doubts, doubt))
    elif which:
        yield replace(meaning, ours=f"size {which}")
    else:
        yield replace(meaning, ours="opening_cm")


def _against(meaning: Meaning, goods: Goods) -> str:
    """Return why the goods of its rows rule a meaning out, as a sentence; blank if they do not."""
    using = (
        (meaning.ours.removeprefix("size "),)
        if meaning.ours.startswith("size ")
        else (goods_using(meaning.ours))
    )
    here = [each for each in goods[meaning.column.filled].tolist() if each in WITH_COLUMNS]
    if not using or not here or meaning.score >= OWN_NAME:
        return ""
    good = sum(each in using for each in here)
    if good >= _OF_ITS_GOODS * len(here):
        return ""
    others = sorted({each for each in here if each not in using})
    return (
        f"It would be {meaning.ours.removeprefix('size ')}, which rows of {' and '.join(using)} "
        f"use, and rows of {' and '.join(others)} fill it."
    )


def _greedy(
    possible: Sequence[Meaning],
) -> tuple[dict[str, Meaning], dict[int, Meaning]]:
    chosen: dict[str, Meaning] = {}
    unused: dict[int, Meaning] = {}
    taken = set[int]()
    # Of equal scores a meaning with its own column of ours comes before none, the first column
    # before the next.
    for meaning in sorted(possible, key=lambda m: (-m.score, not m.ours, m.column.place)):
        if meaning.column.place in taken or any(
            each in chosen for each in _excluded_by(meaning.ours)
        ):
            continue
        taken.add(meaning.column.place)
        if meaning.ours:
            chosen[meaning.ours] = meaning
        else:
            unused[meaning.column.place] = meaning
    return chosen, unused


def _as_price(cost: Meaning) -> Meaning:
    """Return the only column of sums as that of the price, whatever its header calls it."""
    doubt = "No other column seems to be the price."
    return replace(cost, ours="price", doubts=(*cost.doubts, doubt))


def _excluded_by(ours: str) -> tuple[str, ...]:
    """Return the columns of ours that cannot be chosen beside one, itself included."""
    if ours.startswith("size "):
        return (ours, *SIZES[ours.removeprefix("size ")])
    return (ours, *(f"size {which}" for which, pair in SIZES.items() if ours in pair))


def _without_partner(chosen: Mapping[str, Meaning]) -> Iterator[tuple[Meaning, str]]:
    """Yield what is chosen without the column that it needs beside it, and a sentence why not."""
    for pair in _PAIRS:
        if any(chosen[ours].score >= OWN_NAME for ours in pair if ours in chosen):
            continue
        here = [ours for ours in pair if ours in chosen]
        if len(here) == 1:
            lacking = next(ours for ours in pair if ours not in chosen)
            yield (
                chosen[here[0]],
                f"It would be {here[0]}, and no column is {lacking}: one alone is no size.",
            )


def _with_rivals(chosen: Mapping[str, Meaning], possible: Sequence[Meaning]) -> dict[str, Meaning]:
    """Return what is chosen, doubtful where another column or another meaning is as likely."""
    told = dict(chosen)
    by_place = {meaning.column.place: meaning for meaning in chosen.values()}
    for ours, meaning in chosen.items():
        others = [
            f"The column {other.column.header!r} might be meant, too."
            for other in possible
            if other.ours == ours
            and other.column.place != meaning.column.place
            and other.score >= meaning.score - _CLOSE
            and not _means_more(by_place.get(other.column.place), other)
        ]
        others += [
            f"It might be {other.ours.removeprefix('size ')}, too."
            for other in possible
            if other.column.place == meaning.column.place
            and other.ours not in ("", ours)
            and other.ours not in _settled(chosen, other)
            and other.score >= meaning.score - _CLOSE
        ]
        if others:
            told[ours] = replace(meaning, doubts=(*meaning.doubts, *others))
    return told


def _settled(chosen: Mapping[str, Meaning], other: Meaning) -> tuple[str, ...]:
    """Return the meaning of a column if another column has it, and no less likely."""
    better = chosen.get(other.ours)
    return (other.ours,) if better is not None and better.score >= other.score else ()


def _means_more(chosen: Meaning | None, other: Meaning) -> bool:
    """Tell whether a column has a meaning that is more likely than another of it."""
    return chosen is not None and chosen.score > other.score
