"""How many copies of a kit today's stock makes, and what runs out first."""

from __future__ import annotations

from dataclasses import dataclass

from kitsolver.explain.recheck.saved import Saved
from kitsolver.shop.catalogue import UNLIMITED, Catalogue


@dataclass(frozen=True)
class Supply:
    """One line of a kit, and how far its stock goes.

    Parameters
    ----------
    units : int
        What one copy takes.
    stock : int or None
        What is on the shelf: 0 where the row is gone, None for any number.
    """

    sku: str
    units: int
    stock: int | None

    @property
    def copies(self) -> int | None:
        """How many copies it makes; None for any number."""
        return None if self.stock is None else self.stock // self.units


@dataclass(frozen=True)
class Copies:
    """How many copies of a saved kit can be made.

    Parameters
    ----------
    saved : Saved
        The kit.
    supplies : tuple of Supply
        Of every line that is taken from a shelf, what runs out first coming first.
    """

    saved: Saved
    supplies: tuple[Supply, ...]

    @property
    def most(self) -> int | None:
        """The most copies; None for any number."""
        return self.supplies[0].copies if self.supplies else None


def copies_of(saved: Saved, catalogue: Catalogue) -> Copies:
    """Return how many copies of a saved kit the stock of a catalogue makes."""
    supplies = []
    for line in saved.lines:
        if line.sku in saved.brief.choose.own or not line.units:
            continue
        stock: int | None = 0
        if line.sku in catalogue:
            shelf = catalogue.shelves[catalogue.row(line.sku)["category"]]
            row = catalogue.row_number(line.sku)
            there = int(shelf["stock"][row])
            any_number = there >= UNLIMITED or bool(shelf["download"][row])
            stock = None if any_number else there
        supplies.append(Supply(line.sku, line.units, stock))
    supplies.sort(key=lambda each: (each.copies is None, each.copies or 0, each.sku))
    return Copies(saved, tuple(supplies))
