"""Fabric: effective count, cut size, pieces, and the tools that must suit it. Lengths in cm."""

from fractions import Fraction
from functools import cache
from math import lcm
from typing import NamedTuple

from .numbers import exact

INCH = Fraction(254, 100)
ROOM_BESIDE_HOOP = Fraction(25, 10)

# Common practice, no source: up to this count, the needle sizes that suit, strands a stitch.
TABLE = (
    (8, {18, 20, 22}, 4),
    (11, {22, 24}, 3),
    (14, {24, 26}, 2),
    (16, {24, 26}, 2),
    (18, {26, 28}, 2),
    (22, {26, 28}, 1),
    (float("inf"), {28}, 1),
)


def length(cells, name):
    """Give the length in cm, or None where neither unit is filled in."""
    if cells.get(f"{name}_cm", "") != "":
        return exact(cells[f"{name}_cm"])
    if cells.get(f"{name}_in", "") != "":
        return exact(cells[f"{name}_in"]) * INCH
    return None


class Cloth(NamedTuple):
    """What is known of a fabric: effective count and (width, height), each None if unknown."""

    count: Fraction | None
    size: tuple | None
    colour: str = ""


def cloth(cells, fit):
    count = None
    if cells.get("count") and cells.get("weave"):
        over = 1 if cells["weave"] == "aida" else exact(fit.get("over", 2))
        count = exact(cells["count"]) / over
    size = length(cells, "width"), length(cells, "height")
    return Cloth(count, None if None in size else size, cells.get("colours", "").lower())


def cut_size(stitches, count, fit):
    margin = length(fit, "margin")
    if margin is None:
        margin = 3 * INCH
    return tuple(number / count * INCH + 2 * margin for number in stitches)


def pieces(sheet, piece):
    """Count the pieces that straight edge-to-edge cuts make of a sheet, at best."""
    scale = lcm(*(Fraction(side).denominator for side in (*sheet, *piece)))
    width, height, long, short = (int(side * scale) for side in (*sheet, *piece))
    # A cut may slide towards its edge until the strip beside it is a sum of piece sides.
    sums = sorted(
        {
            across * long + along * short
            for across in range(max(width, height) // long + 1)
            for along in range(max(width, height) // short + 1)
        }
        - {0}
    )

    @cache
    def most(wide, high):
        if not ((long <= wide and short <= high) or (short <= wide and long <= high)):
            return 0
        upright = [most(at, high) + most(wide - at, high) for at in sums if at < wide]
        level = [most(wide, at) + most(wide, high - at) for at in sums if at < high]
        return max([1, *upright, *level])

    return most(width, height)


def suits(sizes, count, fit):
    """Tell whether one of a needle's sizes suits; an unknown count leaves it unchecked."""
    if count is None:
        return True
    wanted = next(sizes for limit, sizes, _ in TABLE if count <= limit)
    for key, override in fit.get("needles", {}).items():
        if exact(key) == count:
            wanted = {exact(size) for size in override}
    return any(exact(size) in wanted for size in sizes)


def strands(count, fit):
    if "strands" in fit:
        return exact(fit["strands"])
    return next(number for limit, _, number in TABLE if count <= limit)


def holds_hoop(patch, diameter):
    """Tell whether a hoop goes on the piece a head works on; unknown means unchecked."""
    if patch is None or diameter is None:
        return True
    return diameter + 2 * ROOM_BESIDE_HOOP <= min(patch)
