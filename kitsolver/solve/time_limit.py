"""The time limit of a search, and what is raised when it passes."""

from __future__ import annotations

import time

# The most that is left for the end, in seconds.
_MOST_RESERVED = 1.0


class OutOfTime(Exception):
    """The time limit passed before any kit was found, or that there is none was proven."""


class TimeLimit:
    """How much of the time limit is left.

    Parameters
    ----------
    seconds : float, optional
        The limit from now; none if left out.
    """

    def __init__(self, seconds: float | None = None) -> None:
        self._end = None if seconds is None else time.monotonic() + seconds

    @property
    def left(self) -> float | None:
        """Seconds left, never below zero; None without a limit."""
        return None if self._end is None else max(0.0, self._end - time.monotonic())

    def part(self, parts: int) -> TimeLimit:
        """Return the limit of the first of so many equal parts of the time that is left."""
        left = self.left
        return self if parts == 1 or left is None else TimeLimit(left / parts)

    def at_most(self, seconds: float) -> TimeLimit:
        """Return a limit of so many seconds, or this one if it is closer."""
        left = self.left
        return self if left is not None and left <= seconds else TimeLimit(seconds)

    @property
    def earlier(self) -> TimeLimit:
        """A limit that leaves some time for what is still to be done when it has passed."""
        left = self.left
        return self if left is None else TimeLimit(left - min(_MOST_RESERVED, left / 10))

    def check(self) -> None:
        """Go on only if time is left.

        Raises
        ------
        OutOfTime
            If there is none.
        """
        if self.left == 0:
            raise OutOfTime
