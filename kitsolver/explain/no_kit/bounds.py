"""What is known of the least that is paid for a kit of a brief."""

from __future__ import annotations

from typing import NamedTuple

from kitsolver.shop.till import NO_CAP

# What is paid where there is no kit.
NO_KIT = NO_CAP + 1


class Bounds(NamedTuple):
    """What is known of the least that is paid for a kit of a brief.

    Parameters
    ----------
    least : int
        In minor units: no kit comes to less.
    most : int
        A kit that comes to no more than this is known, unless it is `NO_KIT`.
    """

    least: int
    most: int


# Where nothing is known.
UNKNOWN = Bounds(0, NO_KIT)
