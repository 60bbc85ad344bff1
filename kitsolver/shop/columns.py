"""The columns of a catalogue, described: a further column is one further entry here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from operator import add, mul
from typing import Any

import numpy as np
import numpy.typing as npt

from kitsolver.craft import lengths
from kitsolver.craft.thread import USUAL_KIND
from kitsolver.shop import bulk, catalogue_findings, cells, money
from kitsolver.shop.catalogue import NOT_GIVEN, RATE_UNIT, UNLIMITED
from kitsolver.shop.cells import Reader
from kitsolver.shop.findings import Finding
from kitsolver.shop.number_cells import Number

# Bounds far beyond any shop, so that no sum or product of what is read leaves 64 bits.
_MOST_MONEY = 1_000_000_000
_MOST = 1_000_000


@dataclass(frozen=True)
class Column:
    """One column, as the rows of some categories use it.

    Parameters
    ----------
    name : str
        Its name in the header.
    reads : callable
        Takes a trimmed cell and returns its value, or raises `kitsolver.shop.cells.Refused`.
    blank : int, str or a kind of finding
        The value of a blank cell, or what is wrong with one that may not be blank.
    categories : tuple of str
        The categories whose rows use it; empty for every row.
    shelved : bool
        Whether its values stand on the shelves under its name.
    sound : callable, optional
        Where there may be very many distinct texts: tells which of them are plainly sound, and
        are their own values.
    """

    name: str
    reads: Reader
    blank: int | str | type[Finding]
    categories: tuple[str, ...] = ()
    shelved: bool = True
    sound: Callable[[list[str]], npt.NDArray[np.bool_]] | None = None

    @property
    def required(self) -> bool:
        """Whether the rows that use it must fill it."""
        return isinstance(self.blank, type)

    @property
    def numeric(self) -> bool:
        """Whether its values are whole numbers."""
        return isinstance(self.reads, Number) or self.reads in (cells.yes_or_no, cells.sold_by)


@dataclass(frozen=True)
class Size:
    """A size that each row of a category gives in exactly one of several ways."""

    category: str
    ways: tuple[tuple[str, ...], ...]

    def __str__(self) -> str:
        return ", or ".join(" and ".join(way) for way in self.ways)


@dataclass(frozen=True)
class Joined:
    """A number on the shelf that is made of several columns, blank lengths being 0."""

    name: str
    category: str
    join: Callable[[Any, Any], Any]
    parts: tuple[str, str]


# Columns of charts that say something for each of their colours.
FOR_EACH_COLOUR = ("colour_kinds", "colour_strands")

# Of fabric off the roll, which has no height of its own.
ROLL = Size("fabric", (("width_cm",), ("width_in",)))
SIZES = (
    Size("fabric", (("width_cm", "height_cm"), ("width_in", "height_in"))),
    Size("hoop", (("diameter_cm",), ("diameter_in",))),
)

JOINED = (
    Joined("width", "fabric", add, ("width_cm", "width_in")),
    Joined("height", "fabric", add, ("height_cm", "height_in")),
    Joined("diameter", "hoop", add, ("diameter_cm", "diameter_in")),
    Joined("skein_length", "thread", mul, ("skein_m", "strands")),
)


def _length(name: str, unit: int, category: str, blank: int = 0) -> Column:
    reads = Number(_MOST, held=unit, decimals=lengths.MOST_DECIMALS)
    return Column(name, reads, blank, (category,), shelved=blank > 0)


def _aperture(unit: int) -> cells.Aperture:
    return cells.Aperture(Number(_MOST, held=unit, decimals=lengths.MOST_DECIMALS))


@cache
def columns(currency: str | None = None) -> tuple[Column, ...]:
    """Return every column that is read, prices having the decimals of `currency`.

    Raises
    ------
    KeyError
        If `currency` is unknown.
    """
    decimals = money.MOST_DECIMALS if currency is None else money.exponent(currency)
    price = Number(
        _MOST_MONEY, 10**money.MOST_DECIMALS, decimals, positive=False, in_currency=currency or ""
    )
    whole = Number(_MOST)
    fine = Number(_MOST, held=10_000, decimals=4)
    blank = catalogue_findings.BlankCell
    return (
        Column("sku", cells.line, blank, sound=bulk.lines),
        Column("name", cells.line, blank, sound=bulk.lines),
        Column("category", cells.lower_line, blank, shelved=False),
        Column("price", price, blank),
        Column("quality", Number(100, held=100, decimals=2, positive=False), blank),
        Column("stock", Number(_MOST_MONEY, positive=False), UNLIMITED),
        Column("serves", whole, 1),
        Column("trade_cost", price, NOT_GIVEN),
        Column("tax_rate", Number(1, held=RATE_UNIT, decimals=6, positive=False), NOT_GIVEN),
        Column("download", cells.yes_or_no, 0),
        Column("tags", cells.words, "", shelved=False),
        Column("line", cells.words, "", shelved=False),
        Column("gtin", cells.gtin, "", shelved=False, sound=bulk.gtins),
        Column("opening_cm", _aperture(lengths.CM), ""),
        Column("opening_in", _aperture(lengths.INCH), ""),
        Column("stitches_wide", whole, blank, ("chart",)),
        Column("stitches_high", whole, blank, ("chart",)),
        Column("colours", cells.chart_colours, catalogue_findings.ChartWithoutColours, ("chart",)),
        Column("colour_kinds", cells.listed(cells.lower_line), "", ("chart",)),
        Column("colour_strands", cells.listed(Number(100)), "", ("chart",)),
        Column("weave", cells.weave, blank, ("fabric",)),
        Column("count", fine, blank, ("fabric",)),
        _length("width_cm", lengths.CM, "fabric"),
        _length("height_cm", lengths.CM, "fabric"),
        _length("width_in", lengths.INCH, "fabric"),
        _length("height_in", lengths.INCH, "fabric"),
        Column("sold_by", cells.sold_by, 0, ("fabric",)),
        _length("smallest_cm", lengths.CM, "fabric", 10 * lengths.CM),
        _length("step_cm", lengths.CM, "fabric", 10 * lengths.CM),
        Column("colours", cells.fabric_colour, "", ("fabric",)),
        Column("colours", cells.listed(cells.colour), blank, ("thread",)),
        Column("skein_m", fine, 8 * fine.held, ("thread",), shelved=False),
        Column("strands", Number(1_000), 6, ("thread",)),
        Column("kind", cells.lower_line, USUAL_KIND, ("thread",)),
        Column("needle_sizes", cells.listed(whole), blank, ("needle",)),
        _length("diameter_cm", lengths.CM, "hoop"),
        _length("diameter_in", lengths.INCH, "hoop"),
    )


REQUIRED = tuple(c.name for c in columns() if c.required and not c.categories)
KNOWN = frozenset(c.name for c in columns())
NUMERIC = frozenset(c.name for c in columns() if isinstance(c.reads, Number))
