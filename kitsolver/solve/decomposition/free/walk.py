"""Free colours: every best way to give a chart's colours places that differ as they must.

Colours go from dark to light, and so do their places. So places are gone through in rising order of
lightness, and each goes to the next colour or to none. A *label* is what some first colours were
given: what that costs and counts, and which later places are barred because they are too alike. A
label is left out if another one costs no more, counts no less, bars nothing more and took all kept
rows that it took, for whatever completes the one completes the other. (Label setting for shortest
paths with resources.)

Labels may remember only some of the places that they took. Then fewer places are barred, which is a
relaxation, and labels that took two places that are too alike are marked: if the best are not
marked, they are exact.

Packs are not bought on the way: a walk is told which are bought, and their places cost nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from kitsolver.solve.decomposition.free.question import Found, Question, Steps
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.objective import SCORE_UNIT


class Label(NamedTuple):
    """What some first colours were given; labels that compare less come first.

    Parameters
    ----------
    cost : int
        In minor units, or the score negated where nothing but the score is compared.
    lack : int
        The points, negated.
    marked : bool
        Whether two places were taken that are too alike.
    lines : int
        The lines, as bits, negated: the smallest sku has the highest bit.
    places : int
        The places' ranks as digits.
    barred : int
        The later places that are too alike to remembered ones, as bits.
    alike : int
        The same of all that were taken.
    score : int
        The score, where there is a floor.
    """

    cost: int
    lack: int
    marked: bool
    lines: int
    places: int
    barred: int
    alike: int
    score: int


def walk(
    steps: Steps,
    question: Question,
    most_labels: int,
    check: Callable[[], None],
    rest: Sequence[Sequence[int]] = (),
) -> list[list[Found]]:
    """Return for each number of first colours the best ways to give them places.

    Where there is a floor, they are known for all colours only, and for fewer the list is empty.

    Parameters
    ----------
    most_labels : int
        How many labels may be made.
    check : callable
        Called now and then; raises where there is no time left.
    rest : sequence of sequence of int
        Where there is a floor, what the colours from each on score at most with the places from
        each on (`kitsolver.solve.decomposition.free.relaxation.relaxed_scores`).

    Raises
    ------
    StateLimitReached
        If there are too many labels.
    """
    return _Walk(steps, question, most_labels, check, rest).run()


class _Walk:
    def __init__(
        self,
        steps: Steps,
        question: Question,
        most_labels: int,
        check: Callable[[], None],
        rest: Sequence[Sequence[int]],
    ) -> None:
        self.steps, self.question, self.left, self.check = steps, question, most_labels, check
        self.rest = rest
        # The bits of lines: the smallest sku, in the fewest units, has the highest.
        sizes = sorted({units for each in question.units for units in each if units >= 0})
        skus = sorted({thread.sku for thread in steps.threads} - {""}, reverse=True)
        self.bit = {
            (sku, units): 1 << (number * len(sizes) + len(sizes) - 1 - size)
            for number, sku in enumerate(skus)
            for size, units in enumerate(sizes)
        }
        self.worth = sum(1 << at for at, points in enumerate(steps.points) if points)
        # After which place a kept row must have been taken, and the bits of its lines.
        self.closing: dict[int, list[int]] = {}
        self.kept: list[int] = []
        for sku in sorted(question.kept):
            places = [at for at, thread in enumerate(steps.threads) if thread.sku == sku]
            bits = sum(self.bit[sku, units] for units in sizes) if places else 0
            self.closing.setdefault(places[-1] if places else -1, []).append(bits)
            self.kept.append(bits)

    def run(self) -> list[list[Found]]:
        """Go through all places."""
        steps, question = self.steps, self.question
        colours, base = len(question.units), max(steps.rank, default=0) + 1
        nodes: list[list[Label]] = [[] for _ in range(colours + 1)]
        if -1 in self.closing:
            # A kept row has no place.
            return [[] for _ in nodes]
        nodes[0] = [Label(0, 0, False, 0, 0, 0, 0, 0)]
        order = question.order
        # The digit of each colour; without an order each further colour adds a digit at the end.
        digits = [base ** (colours - 1 - number) for number in order] if order else None
        floor = question.floor
        for at in range(len(steps.threads)):
            if not at % 16:
                self.check()
            # From the lightest colour down, so that no place is taken twice.
            for number in range(colours - 1, -1, -1):
                units = question.units[number][at]
                if units < 0 or not nodes[number]:
                    continue
                least = None
                if floor:
                    least = floor.score - self.rest[at + 1][number + 1]
                digit = digits[number] if digits else 0
                new = self._taken(nodes[number], at, units, least, digit=digit, base=base)
                if new and (new := self._unbeaten(nodes[number + 1], new, at)):
                    nodes[number + 1] = self._undominated(nodes[number + 1], new, at)
            for bits in self.closing.get(at, ()):
                nodes = [[label for label in each if -label.lines & bits] for each in nodes]
        found: list[list[Found]] = [[] for _ in nodes]
        for number in range(colours if question.floor else 0, colours + 1):
            scale = digits or [base ** (number - 1 - n) for n in range(number)]
            labels = self._undominated([], nodes[number], len(steps.threads))
            found[number] = [_found(label, scale, base) for label in labels]
        return found

    def _taken(
        self, labels: list[Label], at: int, units: int, least: int | None, *, digit: int, base: int
    ) -> list[Label]:
        """Return the labels that arise where the next colour takes a place.

        Parameters
        ----------
        least : int, optional
            What their scores have to be.
        digit : int
            The value of the colour's digit; 0 where its digit is added at the end.
        """
        steps, floor = self.steps, self.question.floor
        thread, points, rank = steps.threads[at], steps.points[at], steps.rank[at]
        alike = steps.too_alike[at]
        kept = alike if self.question.remembered >> at & 1 else 0
        cost, line = 0, 0
        if thread.sku and thread.sku not in self.question.bought:
            cost, line = thread.cost_of(units), self.bit[thread.sku, units]
        gained, dear, lack = 0, cost, points
        if floor is not None:
            gained = SCORE_UNIT * floor.weight * points - floor.multiplier * cost
            if floor.alone:
                dear, lack = -gained, 0
        scale, more = (1, rank * digit) if digit else (base, rank)
        new = [
            Label(
                label.cost + dear,
                label.lack - lack,
                label.marked or bool(label.alike >> at & 1),
                label.lines - line,
                label.places * scale + more,
                label.barred | kept,
                label.alike | alike,
                label.score + gained,
            )
            for label in labels
            if not label.barred >> at & 1 and (least is None or label.score + gained >= least)
        ]
        self.left -= len(new)
        if self.left < 0:
            raise StateLimitReached
        return new

    def _unbeaten(self, old: list[Label], new: list[Label], at: int) -> list[Label]:
        """Return the new labels that none of the old ones dominates."""
        later, equal_cost = -1 << (at + 1), self.question.equal_cost
        before = self._before(at)
        found = []
        for label in new:
            cost, lack, barred = label.cost, label.lack, label.barred & later
            missing = self._missing(label)
            for one in old:
                if one.cost > cost:
                    found.append(label)
                    break
                if one.lack > lack or (one.barred & later) | barred != barred:
                    continue
                if self._missing(one) | missing != missing:
                    continue
                if one.cost < cost:
                    if not equal_cost:
                        break
                elif one.lack < lack or before(one) < before(label):
                    break
            else:
                found.append(label)
        return found

    def _undominated(self, old: list[Label], new: list[Label], at: int) -> list[Label]:
        """Return the labels of which no other does the same for no more."""
        later = -1 << (at + 1)
        equal_cost, kept = self.question.equal_cost, list[tuple[int, int, int, int]]()
        found = []
        for label in sorted((*old, *new), key=self._before(at)):
            cost, lack, _, _, _, barred, _, _ = label
            barred &= later
            missing = self._missing(label)
            for other_cost, other_lack, other_barred, other_missing in kept:
                if (
                    other_lack <= lack
                    and other_barred | barred == barred
                    and other_missing | missing == missing
                    and not (equal_cost and other_cost != cost)
                ):
                    break
            else:
                kept.append((cost, lack, barred, missing))
                found.append(label)
                self.left -= len(kept) // 16
        return found

    def _before(self, at: int) -> Callable[[Label], tuple[object, ...]]:
        """Return the key by which labels are sorted after a place.

        Without a tie-break, of ways that cost and count alike, that which bars least dominates most
        others; and those that are too like no place of worth are the last to be marked.
        """
        if self.question.order is not None:
            return tuple
        later = -1 << (at + 1)
        worth = self.worth & later
        return lambda label: (
            label.cost,
            label.lack,
            label.marked,
            (label.barred & later).bit_count(),
            (label.alike & worth).bit_count(),
            (label.alike & later).bit_count(),
            label,
        )

    def _missing(self, label: Label) -> int:
        """Return the kept rows that a label did not take, as bits."""
        if not self.kept:
            return 0
        lines = -label.lines
        return sum(1 << number for number, bits in enumerate(self.kept) if not lines & bits)


def _found(label: Label, scale: Sequence[int], base: int) -> Found:
    ranks = tuple(label.places // times % base for times in scale)
    return Found(label.cost, -label.lack, ranks, label.marked)
