"""One column of sizes for all goods: of fabric two lengths, of needles numbers, of hoops one."""

from __future__ import annotations

from dataclasses import replace

from kitsolver.shop.guess.assignment import SIZES, Assignment, Goods
from kitsolver.shop.guess.looks import CellLooks
from kitsolver.shop.guess.meanings import BY_CELLS, Meaning
from kitsolver.shop.guess.source_column import SourceColumn
from kitsolver.shop.guess.words import Match, matches
from kitsolver.shop.sources.records import Records

# What a size is of the goods that have one; a column holds two lengths of one kind of goods only.
_SIZE_OF = {
    "fabric": "size fabric",
    "chart": "size chart",
    "needle": "needle_sizes",
    "hoop": "diameter_cm",
}
_NAMED = ("size", "needle_sizes", "diameter_cm", "width_cm")
# This share of the rows of some goods must fill the column.
_FILLED = 0.8


def with_shared_sizes(
    assignment: Assignment, records: Records, goods: Goods, looks: CellLooks
) -> Assignment:
    """Return what is chosen, and what a column means that gives the size of several goods.

    Parameters
    ----------
    assignment : Assignment
        What is chosen without regard to such columns.
    records : Records
        The source's rows.
    goods : numpy.ndarray
        For each row which goods it is.
    looks : CellLooks
        How the cells look in this source.
    """
    chosen = dict(assignment.chosen)
    taken = {header for meaning in chosen.values() for header in meaning.column.headers}
    taken |= {meaning.column.header for meaning in assignment.unused.values()}
    for place, (header, coded) in enumerate(records.columns.items()):
        if not header or header in taken:
            continue
        match = _named(header)
        for which, ours in _SIZE_OF.items():
            column = SourceColumn.of(header, place, coded, goods == which)
            if ours in chosen or _is_given(which, chosen) or _is_split(header, chosen, ours):
                continue
            # One number may be anything; two lengths are a size whatever the header says.
            if match is None and not ours.startswith("size "):
                continue
            look = looks.by_column["size" if ours in ("size fabric", "size chart") else ours]
            enough = column.texts and column.rows >= _FILLED * (goods == which).sum()
            if enough and column.share(look.looks) == 1:
                chosen[ours] = _meaning(ours, which, column, look.means, match)
    return replace(assignment, chosen=chosen)


def _meaning(
    ours: str, which: str, column: SourceColumn, means: str, match: Match | None
) -> Meaning:
    says = f"says {match.said}" if match else "does not say it"
    reason = f"The header {says}; in all rows of {which} its cells are {means}."
    return Meaning(match.score if match else BY_CELLS, ours, column, reason)


def _named(header: str) -> Match | None:
    found = [match for match in matches("columns", header) if match.meaning in _NAMED]
    return found[0] if found else None


def _is_given(which: str, chosen: dict[str, Meaning]) -> bool:
    """Tell whether other columns give the size of some goods."""
    return any(ours in chosen for ours in SIZES.get(which, ()))


def _is_split(header: str, chosen: dict[str, Meaning], ours: str) -> bool:
    """Tell whether a column holds two lengths of other goods already."""
    return ours.startswith("size ") and any(
        name.startswith("size ") and meaning.column.header == header
        for name, meaning in chosen.items()
    )
