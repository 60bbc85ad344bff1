"""What breakpoints stand for: the goods that are taken, and the order in which ties are broken."""

from __future__ import annotations

from typing import Any, NamedTuple

# Ends a list of lines, so that a list that goes on comes before one that ends.
_END = ((1, "", 0),)

# A line of the kit: 0, the sku and the units.
Line = tuple[int, str, int]


class Contents(NamedTuple):
    """What is taken for a breakpoint: its lines, sorted, its places of thread, and the goods.

    Of several contents of equal cost and worth the one whose `order` comes first is taken. That
    order stays the same when the same contents are added to both sides.
    """

    lines: tuple[Line, ...] = ()
    places: tuple[tuple[int, tuple[str, int]], ...] = ()
    goods: tuple[Any, ...] = ()

    @property
    def order(self) -> tuple[Any, ...]:
        """The smallest comes first."""
        return self.lines + _END, self.places

    def and_(self, other: Contents) -> Contents:
        """Return both together."""
        return Contents(
            tuple(sorted(self.lines + other.lines)),
            tuple(sorted(self.places + other.places)),
            self.goods + other.goods,
        )


class Option(NamedTuple):
    """One way to take something: what it costs, what it is worth, and what it is."""

    cost: int
    worth: int
    taken: Contents
