"""The least change of one key of a brief with which there is a kit."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Sequence
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor
from typing import Any

from kitsolver.explain.mend import Path
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief

# Of so many values each is tried in turn.
_FEW = 6


def least_change(
    relaxed: RelaxedBrief,
    path: Path,
    values: Sequence[Any],
    form: Callable[[Any], Any] = lambda value: value,
) -> Any:
    """Return the first value with which there is a kit; None if there is none.

    Parameters
    ----------
    values : sequence
        From the least change to the greatest: if one gives a kit, every later one does, too.
    form : callable
        Turns a value into what the brief is to have.
    """

    def works(place: int, *, told: bool = True) -> bool:
        return relaxed.works_with(path, form(values[place]), least_next=told)

    if not len(values):
        return None
    if len(values) <= _FEW:
        # That there is no kit is mostly told sooner than that there is one.
        found = next(filter(works, range(len(values))), None)
        return None if found is None else form(values[found])
    # A small change is likelier: the first is tried first, and the last only if that is no help.
    if works(0):
        return form(values[0])
    # Hardly ever is it the last that is told.
    if not works(-1, told=False):
        return None
    # Search in strides that double, then between the last two.
    low, stride = 1, 1
    while low + stride < len(values) and not works(low + stride - 1):
        low, stride = low + stride, 2 * stride
    between = range(low, min(low + stride, len(values)) - 1)
    return form(values[low + bisect_left(between, True, key=works)])


def lowered(
    relaxed: RelaxedBrief, path: Path, at_most: Fraction | None = None
) -> tuple[str, float] | None:
    """Return the highest lower value of a number with which there is a kit, by hundredths.

    Parameters
    ----------
    at_most : Fraction, optional
        No higher value is of use.

    Returns
    -------
    tuple of str and float, or None
        The value, and the share by which it is lower. None if not even 0 gives a kit.
    """
    now = Decimal(relaxed.value(*path))
    highest = ceil(now * 100) - 1
    if at_most is not None:
        highest = min(highest, floor(at_most * 100))
    hundredths = range(highest, -1, -1)
    found = least_change(relaxed, path, hundredths, form=lambda n: f"{n / 100:g}")
    return None if found is None else (found, float((now - Decimal(found)) / now))


def closest_reached(
    works: Decimal, fails: Decimal, away: Decimal, reached: Callable[[str], Decimal | None]
) -> Decimal:
    """Return the value nearest to one that fails, of those that work.

    Parameters
    ----------
    away : Decimal
        The least step from what fails to what works.
    reached : callable
        Takes a value and returns one that works and is no further away; None if the value fails.
    """
    while works != fails + away:
        nearer = reached(f"{works - away:f}")
        if nearer is None:
            break
        works = nearer
        steps = int((works - fails) / away)
        middle = fails + away * (steps // 2)
        if middle in (works, fails):
            continue
        halfway = reached(f"{middle:f}")
        if halfway is None:
            fails = middle
        else:
            works = halfway
    return works
