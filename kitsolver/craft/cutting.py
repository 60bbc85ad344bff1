"""How many equal pieces come from a fabric by straight cuts that run from edge to edge."""

from __future__ import annotations

from bisect import bisect_right
from math import lcm

from kitsolver.craft.fit import Size, fits


def pieces(cut: Size, fabric: Size, enough: int | None = None) -> int:
    """Return the most pieces of size `cut` that straight edge-to-edge cuts yield from `fabric`.

    Parameters
    ----------
    cut, fabric : Size
        In the same units; each piece may lie either way round.
    enough : int, optional
        Stop counting here: the answer is then at most `enough`.

    Notes
    -----
    Every cut may be moved left (down) until it lies at a sum of piece sides, so only such
    positions are tried (normal patterns: Herz 1972; recalled from memory), and by symmetry only
    those in the first half.
    """
    if not fits(cut, fabric):
        return 0
    scale = lcm(*(side.denominator for side in (*cut, *fabric)))
    length, width, high, wide = (int(side * scale) for side in (*fabric, *cut))
    if enough is not None and _in_rows(length, width, high, wide) >= enough:
        return enough
    most = _Cutting(*sorted((high, wide))).most(length, width)
    return most if enough is None else min(most, enough)


def _in_rows(length: int, width: int, short: int, long: int) -> int:
    """Count the pieces of the plainest plan: all lie the same way, in rows."""
    return max(
        (length // short) * (width // long),
        (length // long) * (width // short),
    )


class _Cutting:
    """The most pieces from any rectangle, for one size of piece."""

    def __init__(self, short: int, long: int) -> None:
        self.short, self.long = short, long
        self._sums: list[int] = [0]
        self._known: dict[tuple[int, int], int] = {}

    def most(self, length: int, width: int) -> int:
        """Return the most pieces from a rectangle, either way round."""
        self._sums = self._positions(max(length, width))
        return self._best(self._shrunk(length), self._shrunk(width))

    def _positions(self, side: int) -> list[int]:
        """Return the sums of piece sides up to `side`, ascending."""
        sums = {
            rest
            for whole in range(0, side + 1, self.long)
            for rest in range(whole, side + 1, self.short)
        }
        return sorted(sums)

    def _shrunk(self, side: int) -> int:
        """Return the greatest sum of piece sides within `side`: what is beyond it is of no use."""
        return self._sums[bisect_right(self._sums, side) - 1]

    def _best(self, one: int, other: int) -> int:
        key = (one, other) if one <= other else (other, one)
        if key not in self._known:
            self._known[key] = self._split(*key)
        return self._known[key]

    def _split(self, width: int, length: int) -> int:
        best = _in_rows(length, width, self.short, self.long)
        bound = length * width // (self.short * self.long)
        for along, across in ((length, width), (width, length)):
            for at in self._sums[1 : bisect_right(self._sums, along // 2)]:
                if best == bound:
                    return best
                rest = self._shrunk(along - at)
                best = max(best, self._best(at, across) + self._best(rest, across))
        return best
