"""How many copies of a kit today's stock makes, and what runs out first."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass

from kitsolver.brief.brief import Brief
from kitsolver.explain.recheck.saved import Saved
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.showing import ShowsItself
from kitsolver.shop.skipped import NOT_COUNTED, RowCounts
from kitsolver.solve.outcome import Kit

StockOf = Callable[[str], int | None]


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
    supplies = _supplies(units, saved.brief.choose.own, catalogue.stock_of)
    return Copies(saved, supplies, catalogue.row_counts)


def supplies_of(kit: Kit, brief: Brief, stock_of: StockOf) -> tuple[Supply, ...]:
    """Return the lines of a kit that are taken from a shelf, what runs out first coming first.

    What comes from home is not taken from a shelf.

    Parameters
    ----------
    stock_of : callable
        Returns the stock of a row by its sku, None for any number; `Catalogue.stock_of` for one.
    """
    units = {line.sku: line.bought for line in kit.lines}
    return _supplies(units, brief.choose.own, stock_of)


def _supplies(
    units: Mapping[str, int], owned: Collection[str], stock_of: StockOf
) -> tuple[Supply, ...]:
    supplies = [
        Supply(sku, number, stock_of(sku))
        for sku, number in units.items()
        if number and sku not in owned
    ]
    supplies.sort(key=lambda each: (each.copies is None, each.copies or 0, each.sku))
    return tuple(supplies)
