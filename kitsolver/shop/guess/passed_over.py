"""Finds rows that are no goods: sums, headings between the rows, and goods no longer sold."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

from kitsolver.shop.guess.draft import SAMPLES, Certainty, Guess
from kitsolver.shop.guess.words import says
from kitsolver.shop.sources.records import Records
from kitsolver.shop.sources.totals import is_total

# A row of sums fills at most this share of the cells that a row of goods fills.
_SPARSE = 0.6
# A state has few words.
_MOST_STATES = 12
_MOST_ROWS = 200


def rows_of_no_goods(records: Records) -> tuple[npt.NDArray[np.bool_], tuple[Guess, ...]]:
    """Return for each row whether it is one of goods, and guesses for those that are not.

    Rows of sums have a word for a sum and few filled cells; headings have a single filled cell; a
    header may be repeated.
    """
    headers = [header for header in records.columns if header]
    if not headers or not len(records.rows):
        return np.ones(len(records.rows), dtype=bool), ()
    filled = np.sum([records.columns[header].filled() for header in headers], axis=0)
    usual = np.median(filled)
    goods = np.ones(len(records.rows), dtype=bool)
    # By kind and header the cells that tell such a row.
    told: dict[tuple[str, str], dict[str, None]] = {}
    for place in np.flatnonzero((filled <= _SPARSE * usual) & (usual > 2))[:_MOST_ROWS].tolist():
        for kind, header, text in _signs(records, headers, place, int(filled[place])):
            told.setdefault((kind, header), {})[text] = None
            goods[place] = False
    for header in headers:
        coded = records.columns[header]
        again = np.flatnonzero(coded.texts == header)
        if len(again) and header == headers[0]:
            told.setdefault(("header", header), {})[header] = None
            goods &= coded.codes != again[0]
    return goods, tuple(_guesses(told))


def gone(records: Records, headers: Iterator[str]) -> Iterator[Guess]:
    """Yield guesses for rows whose state says that they are no longer sold."""
    for header in headers:
        texts = [text for text in records.columns[header].texts.tolist() if text]
        if not 1 < len(texts) <= _MOST_STATES:
            continue
        words = [text for text in texts if says("rows", "gone", text)]
        if words:
            yield Guess(
                "pass_over",
                header,
                words,
                (header,),
                "Rows with these cells are passed over.",
                "The words say that the goods are no longer sold.",
                Certainty.UNSURE,
                tuple(words[:SAMPLES]),
            )


def _signs(
    records: Records, headers: list[str], place: int, filled: int
) -> Iterator[tuple[str, str, str]]:
    """Yield the kind, the header and the cell by which a row is known to be none of goods."""
    cells = [
        (header, str(coded.texts[coded.codes[place]]))
        for header in headers
        if (coded := records.columns[header]).texts[coded.codes[place]]
    ]
    for header, text in cells:
        if is_total(text):
            yield "sum", header, text
            return
    if filled == 1 and cells:
        header, text = cells[0]
        coded = records.columns[header]
        if (coded.codes == coded.codes[place]).sum() == 1:
            yield "heading", header, text


def _guesses(told: dict[tuple[str, str], dict[str, None]]) -> Iterator[Guess]:
    reasons = {
        "sum": "The word stands for a sum, and few cells of the row are filled.",
        "heading": "These rows have a single filled cell: they head others, or remark on them.",
        "header": "The header is repeated among the rows.",
    }
    by_header: dict[str, list[tuple[str, list[str]]]] = {}
    for (kind, header), cells in told.items():
        by_header.setdefault(header, []).append((kind, list(cells)))
    for header, found in by_header.items():
        texts = [text for _, some in found for text in some]
        doubted = any(kind == "heading" for kind, _ in found)
        yield Guess(
            "pass_over",
            header,
            texts,
            (header,),
            "Rows with these cells are passed over.",
            " ".join(reasons[kind] for kind, _ in found),
            Certainty.UNSURE if doubted else Certainty.SURE,
            tuple(texts[:SAMPLES]),
        )
