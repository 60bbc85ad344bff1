"""By which names the header of a source is known among its first rows."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class HeaderNames:
    """What a header has to name, and what it may name. All names are folded by `folded`.

    Parameters
    ----------
    needed : frozenset of str
        A row that has all of these is the header. If empty, the first row that is not blank is.
    known : frozenset of str
        Other names that a header may have.
    by_shape : callable, optional
        Takes the first rows, and returns the place of the header among them. With it no name
        needs to be there.
    """

    needed: frozenset[str] = frozenset()
    known: frozenset[str] = frozenset()
    by_shape: Callable[[Sequence[Sequence[str]]], int] | None = None

    def is_header(self, cells: Iterable[str]) -> bool:
        """Tell whether a row is the header."""
        names = {folded(cell) for cell in cells}
        return names >= self.needed if self.needed else any(names)

    def known_among(self, cells: Iterable[str]) -> int:
        """Return how many of the known names a row has."""
        return len({folded(cell) for cell in cells} & (self.needed | self.known))


def folded(name: str) -> str:
    """Return a name as it is compared: trimmed, and in one case."""
    return name.strip().casefold()
