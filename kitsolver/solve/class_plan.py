"""The plan for a class, as values. Nothing is computed here.

An outcome holds a plan, and computing a plan takes a kit. The types therefore stand in this file,
below the outcome, and the computation in `kitsolver.solve.planning`, above it.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from kitsolver.craft.fit import Size
from kitsolver.shop.till import Receipt


@dataclass(frozen=True)
class PackMix:
    """Packs of several sizes that cost less than the units of the row in the kit.

    Parameters
    ----------
    category : str
        The need that the packs serve.
    line : str
        The catalogue's name for goods that differ only in the size of the pack.
    instead_of : str
        The sku in the kit.
    packs : tuple of (str, int)
        Skus and units.
    total, before : int
        What the packs cost, and what the kit's own units cost, in minor units.
    """

    category: str
    line: str
    instead_of: str
    packs: tuple[tuple[str, int], ...]
    total: int
    before: int


@dataclass(frozen=True)
class Cuts:
    """How the fabric is cut.

    Parameters
    ----------
    sku : str
        Blank where the fabric is at home.
    units : int
        Pieces of fabric that are cut up.
    from_each : int
        Cuts that one piece of fabric yields.
    cut, fabric : Size
        One cut, and one piece of fabric, in length units.
    spare : int
        Cuts that are left over in all.
    offcuts : tuple of Size
        What is left of each piece of fabric, the largest first.
    """

    sku: str
    units: int
    from_each: int
    cut: Size
    fabric: Size
    spare: int
    offcuts: tuple[Size, ...]


@dataclass(frozen=True)
class ThreadShare:
    """How one shade is handed out.

    Parameters
    ----------
    sku : str or None
        None where the thread is at home.
    skeins_a_table : int
        Whole skeins for one table.
    metres_a_head : Decimal or None
        Metres off the skein for one head, with waste, rounded up to 0.01. None where the effective
        count is not known.
    """

    chart_colour: str
    thread_colour: str
    sku: str | None
    skeins_a_table: int
    metres_a_head: Decimal | None


@dataclass(frozen=True)
class StitchingTime:
    """How long one head takes for the design.

    Parameters
    ----------
    stitches : Fraction
        Full crosses of the design.
    an_hour : Fraction
        Crosses an hour, as the brief says.
    hours : int
        Rounded up.
    lessons : int or None
        Rounded up. None where the brief does not say how long a lesson is.
    """

    stitches: Fraction
    an_hour: Fraction
    hours: int
    lessons: int | None


@dataclass(frozen=True)
class ClassPlan:
    """What a class is given.

    Parameters
    ----------
    kits : int
        One a head, and the spare ones.
    pack_mixes : tuple of PackMix
        Empty where no mix of packs makes the order cheaper.
    receipt : Receipt
        What is paid with these packs; the kit's own receipt where there are none.
    cuts : Cuts or None
        None where the size of the fabric or of the design is not known.
    tables, heads_a_table : int
        Tables, and the heads at one table, who share thread.
    thread_shares : tuple of ThreadShare
        In chart order.
    time : StitchingTime or None
        None where the chart's stitches are not known.
    """

    kits: int
    pack_mixes: tuple[PackMix, ...]
    receipt: Receipt
    cuts: Cuts | None
    tables: int
    heads_a_table: int
    thread_shares: tuple[ThreadShare, ...]
    time: StitchingTime | None
