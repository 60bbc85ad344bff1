"""Which column of a source says what the goods are, and which goods each of its rows is."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import numpy.typing as npt

from kitsolver.shop.guess.meanings import RELIABLE, Meaning
from kitsolver.shop.guess.source_column import SourceColumn
from kitsolver.shop.guess.words import MISSPELT, Match, matches
from kitsolver.shop.sources.records import Coded

# A column with more distinct words does not hold categories.
_MOST_CATEGORIES = 200
_FILLED = 0.9
# How much of a column's rows name goods that are known, where its header does not say so.
_NAMES_GOODS = 0.5

# A column of sizes may be of charts, fabric or openings; these categories have columns of theirs.
WITH_COLUMNS = ("chart", "fabric", "thread", "needle", "hoop")


def goods_of(text: str) -> Match | None:
    """Return which goods a category's word says, if they are known."""
    found = matches("goods", text)
    return found[0] if found and found[0].score >= MISSPELT else None


def category_column(
    columns: Sequence[SourceColumn], meanings: Iterable[Meaning], rows: int
) -> Meaning | None:
    """Return which column says the category, if any seems to.

    Parameters
    ----------
    columns : sequence of SourceColumn
        The source's columns.
    meanings : iterable of Meaning
        What they may mean.
    rows : int
        How many rows of goods the source has.
    """
    by_header = {m.column.place: m for m in meanings if m.ours == "category"}
    best: tuple[float, Meaning] | None = None
    for column in columns:
        if not column.texts or len(column.texts) > max(20, min(_MOST_CATEGORIES, rows // 2)):
            continue
        named = column.share(goods_of)
        said = by_header.get(column.place)
        if column.rows < _FILLED * rows or (said is None and named < _NAMES_GOODS):
            continue
        meaning = said or Meaning(
            0.5,
            "category",
            column,
            f"The header does not say it; {named:.0%} of its cells name goods.",
        )
        points = named + meaning.score
        if said and not named:
            doubt = "None of its words names goods that kitsolver knows."
            meaning = Meaning(
                min(meaning.score, RELIABLE - 0.1), "category", column, meaning.reason, (doubt,)
            )
        if best is None or points > best[0]:
            best = points, meaning
    return best[1] if best else None


def goods_of_rows(coded: Coded | None, rows: int) -> npt.NDArray[np.object_]:
    """Return for each row which goods it is, as a category of ours; "" where that is not known."""
    if coded is None:
        return np.full(rows, "", dtype=object)
    texts = coded.texts.tolist()[:_MOST_CATEGORIES]
    known = [match.meaning if (match := goods_of(text)) else "" for text in texts]
    known += [""] * (len(coded.texts) - len(known))
    goods: npt.NDArray[np.object_] = np.array(known, dtype=object)[coded.codes]
    return goods
