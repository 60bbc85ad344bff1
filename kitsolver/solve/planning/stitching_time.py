"""How long a design takes at the speed that the brief gives."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from math import ceil

from kitsolver.brief.stitching import Lesson
from kitsolver.solve.class_plan import StitchingTime


def stitching_time(stitches: Iterable[int | Fraction], lesson: Lesson) -> StitchingTime | None:
    """Return how long one head takes for a design; None where its stitches are not known.

    Parameters
    ----------
    stitches : iterable of int or Fraction
        Full crosses of each colour; empty where the colours are not known.
    lesson : Lesson
        Crosses an hour, and minutes a lesson.
    """
    number = sum(map(Fraction, stitches), Fraction(0))
    if not number:
        return None
    an_hour, minutes = Fraction(lesson.stitches_an_hour), lesson.minutes
    hours = number / an_hour
    lessons = None if minutes is None else ceil(hours * 60 / Fraction(minutes))
    return StitchingTime(number, an_hour, ceil(hours), lessons)
