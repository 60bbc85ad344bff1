"""How many equal pieces come from a fabric by straight cuts that run from edge to edge."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache
from itertools import islice
from math import ceil, floor, lcm
from typing import NamedTuple

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
    if enough == 1:
        return 1
    scale = lcm(*(side.denominator for side in (*cut, *fabric)))
    sides = (side.numerator * (scale // side.denominator) for side in (*fabric, *cut))
    length, width, high, wide = sides
    if enough is not None and _in_rows(length, width, high, wide) >= enough:
        return enough
    most = _most_pieces(length, width, *sorted((high, wide)))
    return most if enough is None else min(most, enough)


# An explanation asks for the same pieces again and again, of briefs that differ in other things.
@lru_cache(maxsize=1 << 14)
def _most_pieces(length: int, width: int, short: int, long: int) -> int:
    return _Cutting(short, long).most(length, width)


class Roll(NamedTuple):
    """Fabric off the roll: its width, the step it is cut by, and the least number of steps."""

    width: Fraction
    step: Fraction
    least: int

    def length(self, steps: int) -> Size:
        """Return the piece that some steps make."""
        return Size(self.width, steps * self.step)


def steps_off(roll: Roll, cut: Size, number: int) -> int | None:
    """Return the fewest steps off a roll that yield a number of cuts; None if it is too narrow.

    Parameters
    ----------
    cut : Size
        In the same units; each may lie either way round.
    """
    rows = [
        -(-number // floor(roll.width / across)) * along
        for across, along in (cut, cut.turned)
        if across <= roll.width
    ]
    if not rows:
        return None
    # Of cuts in rows there is enough; and there is never enough of less than their area.
    most = max(roll.least, ceil(min(rows) / roll.step))
    least = max(roll.least, ceil(number * cut.width * cut.height / roll.width / roll.step))
    lengths = range(least, most)
    return least + bisect_left(
        lengths, True, key=lambda steps: pieces(cut, roll.length(steps), number) >= number
    )


class Cut(NamedTuple):
    """Where a piece lies on the fabric, from its upper left corner, and its sides as it lies."""

    left: Fraction
    top: Fraction
    width: Fraction
    height: Fraction


def plan(cut: Size, fabric: Size, number: int) -> list[Cut]:
    """Return where straight edge-to-edge cuts take pieces from a fabric, `number` at the most.

    Parameters
    ----------
    cut, fabric : Size
        In the same units, in which the places are told; each piece may lie either way round.
    """
    if not fits(cut, fabric):
        return []
    scale = lcm(*(side.denominator for side in (*cut, *fabric)))
    width, height, short, long = (int(side * scale) for side in (*fabric, *sorted(cut)))
    cutting = _Cutting(short, long)
    cutting.most(width, height)
    places = islice(cutting.layout(width, height), number)
    return [Cut(*(Fraction(part, scale) for part in place)) for place in places]


def offcuts(cut: Size, fabric: Size) -> list[Size]:
    """Return what is left of a fabric of which as many pieces are cut as it yields.

    The largest comes first; what is left is cut off straight, too.
    """
    if not fits(cut, fabric):
        return [fabric]
    scale = lcm(*(side.denominator for side in (*cut, *fabric)))
    width, height, short, long = (int(side * scale) for side in (*fabric, *sorted(cut)))
    cutting = _Cutting(short, long)
    cutting.most(width, height)
    left = sorted(cutting.left_over(width, height), key=lambda rest: rest[0] * rest[1])
    return [Size(*(Fraction(side, scale) for side in rest)) for rest in reversed(left)]


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

    def layout(
        self, width: int, height: int, left: int = 0, top: int = 0
    ) -> Iterator[tuple[int, int, int, int]]:
        """Yield the pieces of a rectangle: left, top, width, height."""
        most = self._most_of(width, height)
        for across, down in ((self.short, self.long), (self.long, self.short)):
            if (width // across) * (height // down) == most:
                for row in range(height // down):
                    for column in range(width // across):
                        yield left + column * across, top + row * down, across, down
                return
        for one, other in self._halves(width, height, most):
            yield from self.layout(*one, left, top)
            # The second lies beside the first, or beneath it.
            beside = other[1] == height
            across, down = (one[0], 0) if beside else (0, one[1])
            yield from self.layout(*other, left + across, top + down)
            return

    def left_over(self, width: int, height: int) -> Iterator[tuple[int, int]]:
        """Yield what the layout leaves of a rectangle, as width and height."""
        most = self._most_of(width, height)
        for across, down in ((self.short, self.long), (self.long, self.short)):
            if (width // across) * (height // down) == most:
                used = (width // across * across, height // down * down) if most else (0, 0)
                for rest in ((width - used[0], height), (used[0], height - used[1])):
                    if min(rest) > 0:
                        yield rest
                return
        for one, other in self._halves(width, height, most):
            yield from self.left_over(*one)
            yield from self.left_over(*other)
            return

    def _halves(
        self, width: int, height: int, most: int
    ) -> Iterator[tuple[tuple[int, int], tuple[int, int]]]:
        """Yield the ways to cut a rectangle in two that lose no piece."""
        for at in self._sums[1:]:
            if at < width and self._most_of(at, height) + self._most_of(width - at, height) == most:
                yield (at, height), (width - at, height)
            if at < height and self._most_of(width, at) + self._most_of(width, height - at) == most:
                yield (width, at), (width, height - at)

    def _most_of(self, width: int, height: int) -> int:
        return self._best(self._shrunk(width), self._shrunk(height))

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
