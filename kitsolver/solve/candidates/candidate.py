"""What a kit is chosen from: rows and things at home, each with its units, cost and points.

Money is in minor units, points are hundredths of quality, lengths are the units of
`kitsolver.craft.lengths`. What is at home has no sku, no price and no points.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, cast

from kitsolver.craft.cutting import Roll
from kitsolver.craft.fit import Size
from kitsolver.craft.thread import USUAL_KIND, Charted
from kitsolver.shop.catalogue import UNLIMITED


@dataclass(frozen=True)
class Candidate:
    """One row of the catalogue, or one thing at home, as it may enter this kit.

    Parameters
    ----------
    sku : str
        Empty for what is at home.
    category : str
        Its category.
    price : int
        Minor units a unit that is bought; 0 for what is owned.
    points : int
        Quality in hundredths.
    stock : int
        Units that can be bought.
    units : int
        Units the kit takes, where no other choice changes that; the least where one does. Of a
        single thread these are the skeins bought.
    home : int
        Units that the home list has: they are free, and the first to be taken. 0 of a single
        thread, of which the home list has a length.
    tax_rate : Fraction, optional
        The rate it is taxed at, where that is its own.
    download : bool
        Whether it is downloaded, and so not delivered.
    opening : Size, optional
        The aperture in which the finished design is to be seen.
    measures : tuple of (str, object)
        What else the row says, by column: numbers and sets of values that some rule reads.
    """

    sku: str
    category: str
    price: int = 0
    points: int = 0
    stock: int = UNLIMITED
    units: int = 1
    home: int = 0
    tax_rate: Fraction | None = None
    download: bool = False
    opening: Size | None = None
    measures: tuple[tuple[str, Any], ...] = ()

    def measure(self, column: str) -> int:
        """Return the number that the row says in a column that a rule reads.

        Raises
        ------
        KeyError
            If no rule reads that column.
        """
        number: int = self._said[column]
        return number

    def values(self, column: str) -> frozenset[Any] | None:
        """Return the values of the row in a column that a rule reads; None goes with all.

        Raises
        ------
        KeyError
            If no rule reads that column.
        """
        values: frozenset[Any] | None = self._said[column]
        return values

    @property
    def _said(self) -> dict[str, Any]:
        return dict(self.measures)

    def bought(self, units: int) -> int:
        """Return how many of some units are bought."""
        return max(0, units - self.home)

    def cost_of(self, units: int) -> int:
        """Return what some units cost, in minor units."""
        return self.bought(units) * self.price

    @property
    def cost(self) -> int:
        """What the units cost, in minor units."""
        return self.cost_of(self.units)


@dataclass(frozen=True)
class Chart(Candidate):
    """A chart; `size` in stitches and `shades` are None where not described."""

    size: tuple[int, int] | None = None
    shades: tuple[Charted, ...] | None = None


@dataclass(frozen=True)
class Fabric(Candidate):
    """A fabric; `count` is the effective count; None where not described.

    `colour` is its own, blank where not given; `roll` is there where it is cut off one, and then
    it has no size of its own.
    """

    count: Fraction | None = None
    size: Size | None = None
    colour: str = ""
    roll: Roll | None = None


@dataclass(frozen=True)
class Thread(Candidate):
    """A thread row, single or pack, or the shades at home.

    `skein_length` is in ten-thousandths of a metre of single strand, of which `plies` make the
    thread of the skein. `home_length` is what the home list has of a single thread, in the same
    unit; `home_taken` is how much of it the kit takes, where no chart decides that.
    """

    colours: tuple[str, ...] = ()
    skein_length: int = 0
    plies: int = 6
    kind: str = USUAL_KIND
    home_length: int = 0
    home_taken: int = 0

    @property
    def listed(self) -> bool:
        """Whether the home list has some of it."""
        return self.home > 0 or self.home_length > 0


@dataclass(frozen=True)
class Needle(Candidate):
    """A needle; `sizes` is None where not described."""

    sizes: frozenset[int] | None = None


@dataclass(frozen=True)
class Hoop(Candidate):
    """A hoop; `diameter` is None where not described."""

    diameter: Fraction | None = None


@dataclass(frozen=True)
class Place:
    """One colour in one thread row, given to one chart colour.

    `points` are what it counts for that chart colour, `difference` is in ten-thousandths.
    """

    thread: Thread
    index: int
    difference: int
    points: int

    @property
    def key(self) -> tuple[str, int]:
        """What identifies a place, and orders places in the tie-break."""
        return self.thread.sku, self.index

    @property
    def colour(self) -> str:
        """The thread's colour."""
        return self.thread.colours[self.index]


@dataclass(frozen=True)
class Selection:
    """What an engine chose: one offer a need, a place for each chart colour, the extras."""

    needs: Mapping[str, Candidate]
    places: tuple[Place, ...] = ()
    extras: tuple[Candidate, ...] = ()

    @property
    def chart(self) -> Chart:
        """The chart, known or not."""
        return cast(Chart, self.needs["chart"])

    @property
    def fabric(self) -> Fabric:
        """The fabric, known or not."""
        return cast(Fabric, self.needs["fabric"])
