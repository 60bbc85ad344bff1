"""Rows of a source that a catalogue does not offer, counted for every result."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

SkippedKind = Literal["refused", "passed over"]


@dataclass(frozen=True)
class Skipped:
    """Rows of one category that are left out for one reason.

    Parameters
    ----------
    kind : str
        ``"refused"`` if the rows have errors, and the user asked to go on without them;
        ``"passed over"`` if the map of columns says that they are to be passed over.
    category : str
        Their category in lower case; empty where the rows name none that can be read.
    rows : int
        How many they are, at least 1.
    """

    kind: SkippedKind
    category: str
    rows: int


@dataclass(frozen=True)
class RowCounts:
    """The rows that a result was found among, and those that it knows nothing of.

    Parameters
    ----------
    offered : int
        The usable rows of the catalogue.
    skipped : tuple of Skipped
        The other rows of its source.
    """

    offered: int = 0
    skipped: tuple[Skipped, ...] = ()

    @property
    def of_source(self) -> int:
        """All rows of the source."""
        return self.offered + sum(each.rows for each in self.skipped)

    def of_kind(self, kind: SkippedKind) -> tuple[Skipped, ...]:
        """Return the rows that are left out for one reason, by category."""
        return tuple(each for each in self.skipped if each.kind == kind)


# Of a result that was not made from a catalogue.
NOT_COUNTED = RowCounts()


def counted(kind: SkippedKind, categories: Iterable[str]) -> tuple[Skipped, ...]:
    """Return rows by their category, sorted; `categories` holds one entry for each row."""
    return tuple(
        Skipped(kind, category, rows) for category, rows in sorted(Counter(categories).items())
    )
