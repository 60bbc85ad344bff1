"""How many copies of a kit today's stock makes, and what runs out first."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from kitsolver.explain.recheck.saved import Saved
from kitsolver.shop.catalogue import UNLIMITED, Catalogue
from kitsolver.shop.showing import ShowsItself
from kitsolver.shop.skipped import NOT_COUNTED, RowCounts


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

    def missing(self, copies: int) -> int:
        """Return how many units must be ordered for so many copies."""
        return 0 if self.stock is None else max(0, copies * self.units - self.stock)


@dataclass(frozen=True)
class Copies(ShowsItself):
    """How many copies of a saved kit can be made.

    Parameters
    ----------
    saved : Saved
        The kit.
    supplies : tuple of Supply
        Of every line that is taken from a shelf, what runs out first coming first.
    row_counts : RowCounts
        The rows of the catalogue that it was found among, and those that were skipped.
    """

    saved: Saved
    supplies: tuple[Supply, ...]
    row_counts: RowCounts = NOT_COUNTED

    @property
    def most(self) -> int | None:
        """The most copies; None for any number."""
        return self.supplies[0].copies if self.supplies else None


def copies_of(saved: Saved, catalogue: Catalogue) -> Copies:
    """Return how many copies of a saved kit the stock of a catalogue makes."""
    units = {line.sku: line.units for line in saved.lines}
    supplies = supplies_of(units, saved.brief.choose.own, catalogue)
    return Copies(saved, supplies, catalogue.row_counts)


def supplies_of(
    units: Mapping[str, int], owned: Collection[str], catalogue: Catalogue
) -> tuple[Supply, ...]:
    """Return the lines of a kit that are taken from a shelf, what runs out first coming first.

    Parameters
    ----------
    units : mapping of str to int
        What one copy of the kit takes, by sku.
    owned : collection of str
        The skus that are at home, and so not taken from a shelf.
    catalogue : Catalogue
        Today's; the stock of a row that it lacks is 0.
    """
    supplies = []
    for sku, number in units.items():
        if sku in owned or not number:
            continue
        stock: int | None = 0
        if sku in catalogue:
            shelf = catalogue.shelves[catalogue.row(sku)["category"]]
            row = catalogue.row_number(sku)
            there = int(shelf["stock"][row])
            any_number = there >= UNLIMITED or bool(shelf["download"][row])
            stock = None if any_number else there
        supplies.append(Supply(sku, number, stock))
    supplies.sort(key=lambda each: (each.copies is None, each.copies or 0, each.sku))
    return tuple(supplies)
