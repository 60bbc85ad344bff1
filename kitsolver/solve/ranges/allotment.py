"""Which pattern each kit of a range has, so that all are best together within the stock.

Kit by kit, every state of the stock that is left is kept once, with the best choice of patterns
that leads to it (dynamic programming). States that cannot come up to what is known are left out.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from math import lcm
from typing import NamedTuple

from kitsolver.solve.ranges.patterns import Pattern
from kitsolver.solve.time_limit import TimeLimit

Figures = tuple[Fraction, Fraction, int]


class Taking(NamedTuple):
    """A pattern that a kit may have, and what all of its copies take of the rooms of rows."""

    pattern: Pattern
    taken: Mapping[str, int]


class _Choice(NamedTuple):
    """A pattern in numbers: its worth, its place in the tie-break, and what it takes.

    What is taken, and what is left, is one number with a field for each row (`_Fields`).
    """

    worth: int
    tie: int
    taken: int
    pattern: Pattern


class _State(NamedTuple):
    """The best way to a state: the sum of worths, the last choice, and the state before it."""

    worth: int
    choice: _Choice
    before: _State | None

    @property
    def choices(self) -> list[_Choice]:
        """All choices, those of the first kit first."""
        found, state = [self.choice], self.before
        while state is not None:
            found.append(state.choice)
            state = state.before
        return found[::-1]

    @property
    def ties(self) -> list[int]:
        """What decides between states of equal worth: less comes first."""
        return [choice.tie for choice in self.choices]

    def better_than(self, other: _State) -> bool:
        """Tell whether this is a better way to the same state."""
        if self.worth != other.worth:
            return self.worth > other.worth
        return self.ties < other.ties


def allot(
    kits: Sequence[Sequence[Taking]],
    room: Mapping[str, int],
    least: Figures | None,
    time_limit: TimeLimit,
) -> list[Pattern] | None:
    """Return the best pattern for each kit, such that no row is taken beyond its room.

    The sums of the figures are compared, and where these are equal, kit by kit, the tie-break.

    Parameters
    ----------
    kits : sequence of sequence of Taking
        For each kit its patterns.
    room : mapping of str to int
        By sku.
    least : tuple, optional
        Figures that kits together can reach, so that no less is of interest.

    Returns
    -------
    list of Pattern or None
        None if not all kits can have one.

    Raises
    ------
    OutOfTime
        If there is no time left.
    """
    figures = [one.pattern.bound.figures for kit in kits for one in kit]
    worth_of = _Worth([*figures, *([] if least is None else [least])], len(kits))
    most = [_most(kit) for kit in kits]
    # A row of which there is enough for all kits makes no difference.
    scarce = [sku for sku in room if sum(of.get(sku, 0) for of in most) > room[sku]]
    fields = _Fields({sku: room[sku] for sku in scarce})
    choices = [_choices(kit, worth_of, fields) for kit in kits]
    if not all(choices):
        return None
    rest = sum(kit[0].worth for kit in choices)
    floor = None if least is None else worth_of(least)
    # What is left beyond what later kits can take makes no difference either.
    later = {sku: sum(of.get(sku, 0) for of in most) for sku in scarce}
    states: dict[int, _State | None] = {fields.full: None}
    for kit, of in zip(choices, most, strict=True):
        time_limit.check()
        rest -= kit[0].worth
        later = {sku: units - of.get(sku, 0) for sku, units in later.items()}
        after = _after(states, kit, fields, None if floor is None else floor - rest)
        states, clipped = {}, fields.at_most(later)
        for left, state in after.items():
            key = clipped(left)
            known = states.get(key)
            if known is None or state.better_than(known):
                states[key] = state
    best = [state for state in states.values() if state is not None]
    if not best:
        return None
    first = min(best, key=lambda state: (-state.worth, state.ties))
    return [choice.pattern for choice in first.choices]


def _after(
    states: Mapping[int, _State | None],
    kit: Sequence[_Choice],
    fields: _Fields,
    floor: int | None,
) -> dict[int, _State]:
    """Return the states after one more kit."""
    found: dict[int, _State] = {}
    guards = fields.guards
    each = [(choice.worth, choice.taken, choice) for choice in kit]
    for left, state in states.items():
        before = 0 if state is None else state.worth
        least = each[-1][0] if floor is None else floor - before
        there = left | guards
        for more, taken, choice in each:
            if more < least:
                break
            rest = there - taken
            if rest & guards != guards:
                continue
            rest ^= guards
            known = found.get(rest)
            if known is not None and known.worth > before + more:
                continue
            new = _State(before + more, choice, state)
            if known is None or new.better_than(known):
                found[rest] = new
    return found


def _most(kit: Sequence[Taking]) -> dict[str, int]:
    """Return by sku the most that a kit takes with any of its patterns."""
    most: dict[str, int] = {}
    for one in kit:
        for sku, taken in one.taken.items():
            most[sku] = max(taken, most.get(sku, 0))
    return most


def _choices(kit: Sequence[Taking], worth_of: _Worth, fields: _Fields) -> list[_Choice]:
    """Return the patterns of a kit in numbers, the best first; of those that take alike, one."""
    orders = sorted(one.pattern.bound.order for one in kit)
    found: dict[int, _Choice] = {}
    for one in kit:
        bound = one.pattern.bound
        taken = fields.taken(one.taken)
        if taken is None:
            continue
        tie = bisect_left(orders, bound.order)
        choice = _Choice(worth_of(bound.figures), tie, taken, one.pattern)
        known = found.get(taken)
        if known is None or (-choice.worth, choice.tie) < (-known.worth, known.tie):
            found[taken] = choice
    return sorted(found.values(), key=lambda choice: -choice.worth)


class _Fields:
    """Numbers by sku as one number, in fields of equal width with a spare bit above each.

    If the spare bits are set, and a number is subtracted that goes beyond a field, its bit is gone.
    """

    def __init__(self, room: Mapping[str, int]) -> None:
        self.room = room
        self.width = max(room.values(), default=0).bit_length()
        self.place = {sku: number * (self.width + 1) for number, sku in enumerate(room)}
        self.guards = sum(1 << (place + self.width) for place in self.place.values())
        self.full = self._packed(room)

    def taken(self, units: Mapping[str, int]) -> int | None:
        """Return what is taken as one number; None if it is more than there is of a row."""
        scarce = {sku: number for sku, number in units.items() if sku in self.place}
        if any(number > self.room[sku] for sku, number in scarce.items()):
            return None
        return self._packed(scarce)

    def at_most(self, most: Mapping[str, int]) -> Callable[[int], int]:
        """Return what makes of what is left of each row no more than some units of it."""
        limit = self._packed({sku: min(units, most[sku]) for sku, units in self.room.items()})
        guards, width = self.guards, self.width

        def clipped(left: int) -> int:
            over = ~((limit | guards) - left) & guards
            # All bits of the fields that go beyond their limits.
            beyond = over - (over >> width)
            return (left & ~beyond) | (limit & beyond)

        return clipped

    def _packed(self, units: Mapping[str, int]) -> int:
        return sum(number << self.place[sku] for sku, number in units.items())


class _Worth:
    """Makes figures of kits one whole number, the first counting before the second, and so on."""

    def __init__(self, every: Sequence[Figures], kits: int) -> None:
        self.units = [lcm(*(figures[part].denominator for figures in every)) for part in (0, 1)]
        extras = max((figures[1] for figures in every), default=Fraction(0))
        unpaid = max((abs(figures[2]) for figures in every), default=0)
        # More than the sums of all kits can be.
        self.bases = int(extras * self.units[1]) * kits * 2 + 2, unpaid * kits * 2 + 2

    def __call__(self, figures: Figures) -> int:
        """Return one number for figures, whose sums are compared as the figures are."""
        quality, extras = (int(figures[part] * self.units[part]) for part in (0, 1))
        return (quality * self.bases[0] + extras) * self.bases[1] + figures[2]
