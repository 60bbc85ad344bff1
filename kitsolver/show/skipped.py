"""The rows that no result knows of, because they were refused or passed over: in sentences."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kitsolver.shop.skipped import RowCounts, Skipped, SkippedKind

# Of the categories of skipped rows so many are named, those with most rows.
_NAMED = 5
_REASONS: tuple[tuple[SkippedKind, str], ...] = (
    ("refused", "Not offered, for their errors"),
    ("passed over", "Passed over by the map"),
)


def skipped_sentences(counts: RowCounts) -> Iterator[str]:
    """Yield how many rows of which categories are not offered, a sentence for each reason."""
    for kind, reason in _REASONS:
        if skipped := counts.of_kind(kind):
            yield f"{reason}: {_rows_text(skipped)}."


def among(counts: RowCounts) -> str:
    """Return among which rows a kit is the best; blank where every row is offered."""
    if not counts.skipped:
        return ""
    which = "sound rows" if counts.of_kind("refused") else "rows offered"
    return f"the {counts.offered:,} {which} of {counts.of_source:,}"


def _rows_text(skipped: Iterable[Skipped]) -> str:
    """Return rows by category, those that are most first."""
    first, *rest = sorted(skipped, key=lambda each: (-each.rows, each.category))
    rows = "1 row" if first.rows == 1 else f"{first.rows:,} rows"
    parts = [f"{rows} {_of(first)}", *(f"{each.rows:,} {_of(each)}" for each in rest[: _NAMED - 1])]
    if more := sum(each.rows for each in rest[_NAMED - 1 :]):
        parts.append(f"{more:,} of other categories")
    return ", ".join(parts)


def _of(skipped: Skipped) -> str:
    return f"of {skipped.category}" if skipped.category else "without a category"
