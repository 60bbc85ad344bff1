"""Every rule of a kit, once: its name, its sentence and, where it ties goods, its test."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from kitsolver.brief.brief import Brief, Fit
from kitsolver.craft import fit as cloth
from kitsolver.craft.cutting import pieces, steps_off
from kitsolver.craft.needles import suiting
from kitsolver.craft.thread import Charted, skeins, strands
from kitsolver.solve.candidates.candidate import Candidate, Chart, Fabric, Hoop, Needle, Thread

Ints = NDArray[np.int64]

# Times a difference or a quality in their units, less than this stays within 64 bits.
_LARGE = 2**36


@dataclass(frozen=True)
class Rule:
    """One rule: a name used in models, checks and explanations, and what it says."""

    name: str
    sentence: str


NEEDS = Rule("needs", "The kit holds exactly one choice of every need.")
CONDITIONS = Rule("conditions", "Every row meets the conditions that the brief sets for it.")
LEAVE_OUT = Rule("leave out", "Nothing that the brief leaves out is in the kit.")
KEEP = Rule("keep", "Everything that the brief keeps is in the kit.")
EXTRAS = Rule(
    "extras", "Extras come from the categories asked for, one a category, no more than asked."
)
FIT = Rule("fit", "The design with its margins is within the fabric, one cut for every head.")
NEEDLE = Rule("needle", "One of the needle's sizes suits the effective count.")
THREAD = Rule(
    "thread", "Each chart colour has a thread colour of its own within the tolerance, enough of it."
)
CONTRAST = Rule(
    "contrast",
    "Shades differ as asked from the cloth and, where colours are free, from each other, dark to "
    "light as charted.",
)
HOOP = Rule("hoop", "The hoop with 2.5 cm around it is within the piece a head works on.")
FINISHING = Rule("finishing", "The finished design is within the opening of what is to frame it.")
HEADS = Rule("heads", "Every head gets what it needs, and no unit more is bought.")
STOCK = Rule("stock", "No more units are taken than there are in stock.")
MARGIN = Rule("margin", "What the kit costs the shop leaves it the margin that is asked.")
CAP = Rule("cap", "What is payable is within the cap.")
QUALITY = Rule("quality", "Quality and extras are what the lines add up to.")

RULES = (
    NEEDS,
    CONDITIONS,
    LEAVE_OUT,
    KEEP,
    EXTRAS,
    FIT,
    NEEDLE,
    THREAD,
    CONTRAST,
    HOOP,
    FINISHING,
    HEADS,
    STOCK,
    CAP,
    MARGIN,
    QUALITY,
)


def cut(chart: Chart, count: Fraction | None, fit: Fit) -> cloth.Size | None:
    """Return the size one head's piece is cut to; None where chart or count is not known."""
    if chart.size is None or count is None:
        return None
    return cloth.cut_size(cloth.finished_size(*chart.size, count), fit.margin)


def fabric_units(chart: Chart, fabric: Fabric, brief: Brief) -> int | None:
    """Return the units of fabric that give every head a piece; None where it does not fit.

    Where the design's size on the fabric is not known, each head gets a unit, or the smallest cut
    off the roll. Off the roll a unit is a step.
    """
    size = cut(chart, fabric.count, brief.fit)
    if fabric.roll is not None:
        if size is None:
            return brief.kits * fabric.roll.least
        return steps_off(fabric.roll, size, brief.kits)
    if size is None or fabric.size is None:
        return brief.kits
    yielded = pieces(size, fabric.size, brief.kits)
    if yielded == 0 or (not fabric.sku and yielded < brief.kits):
        return None
    return -(-brief.kits // yielded)


def uncut(chart: Chart, fabric: Fabric, brief: Brief) -> cloth.Size | None:
    """Return the size of the fabric as it is bought; None where not known."""
    if fabric.roll is None:
        return fabric.size
    if cut(chart, fabric.count, brief.fit) is None:
        return fabric.roll.length(fabric.roll.least)
    return fabric.roll.length(fabric_units(chart, fabric, brief) or fabric.roll.least)


def needle_suits(needle: Needle, count: Fraction | None, fit: Fit) -> bool:
    """Tell whether a needle suits an effective count; what is not known is not held against it."""
    if needle.sizes is None or count is None:
        return True
    return bool(needle.sizes & suiting(count, fit.needle_table))


def widest_hoop(chart: Chart, fabric: Fabric, brief: Brief) -> Fraction | None:
    """Return the greatest diameter that the piece a head works on takes; None where not known.

    Several heads work on cuts; only where the chart is unknown does each get an uncut unit of a
    fabric that is bought.
    """
    whole = brief.kits == 1 or (chart.size is None and fabric.sku)
    piece = uncut(chart, fabric, brief) if whole else cut(chart, fabric.count, brief.fit)
    return None if piece is None else cloth.widest_hoop(piece)


def hoop_holds(hoop: Hoop, widest: Fraction | None) -> bool:
    """Tell whether a hoop is within a diameter; what is not known is not held against it."""
    return hoop.diameter is None or widest is None or hoop.diameter <= widest


def frames(candidate: Candidate, chart: Chart, count: Fraction | None) -> bool:
    """Tell whether a design is within an offer's opening; what is not known is not held against it.

    A chart, fabric or thread frames nothing, whatever it says.
    """
    if candidate.opening is None or isinstance(candidate, Chart | Fabric | Thread):
        return True
    if chart.size is None or count is None:
        return True
    return cloth.fits(cloth.finished_size(*chart.size, count), candidate.opening)


def pools(brief: Brief) -> tuple[int, int]:
    """Return how many pools of thread there are, and how many heads share one."""
    sharing = min(brief.need("thread").shared_by, brief.kits)
    return -(-brief.kits // sharing), sharing


def skeins_a_pool(asked: Charted, count: Fraction | None, skein_length: int, brief: Brief) -> int:
    """Return the skeins of one colour in one pool; 1 where the effective count is not known."""
    if count is None:
        return 1
    plies = brief.fit.strands or asked.strands or strands(count)
    waste, (_, sharing) = Fraction(brief.fit.waste), pools(brief)
    return skeins(asked, count, plies, waste, skein_length, sharing)


def place_points(quality: Ints, difference: Ints, mismatch: Fraction) -> Ints:
    """Return what places count, in hundredths, rounded half up.

    Parameters
    ----------
    quality : array of int
        The rows', in hundredths.
    difference : array of int
        In ten-thousandths.
    mismatch : Fraction
        Quality points lost per unit of difference.
    """
    per, unit = mismatch.numerator, 100 * mismatch.denominator
    if max(per, unit) >= _LARGE:
        quality, difference = quality.astype(object), difference.astype(object)
    points = (2 * (unit * quality - per * difference) + unit) // (2 * unit)
    return np.asarray(np.maximum(0, points), dtype=np.int64)
