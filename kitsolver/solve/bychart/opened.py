"""Everything that a kit with one chart can be, as one staircase.

The effective count ties fabric, needle and thread to each other, and a hoop ties itself to the
fabric. For each count, and each set of hoops that a fabric takes, what is left are choices that
do not know of each other, and their staircases add up.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import Enum
from fractions import Fraction
from math import floor
from typing import Any, NamedTuple

import numpy as np

from kitsolver.solve import rules
from kitsolver.solve.bychart.shades import Giving, Shades
from kitsolver.solve.bychart.staircase import (
    Mint,
    Numbers,
    Option,
    Staircase,
    Taken,
    both,
    choices,
    either,
)
from kitsolver.solve.entry.goods import Choice, Fabric, Hoop, Needle, Offer, Place
from kitsolver.solve.entry.offers import Offers
from kitsolver.solve.model.solver import Clock
from kitsolver.solve.tally import skeins, tally

_LARGE = 2**61
_MOST_POINTS = 100_00


class Slot(Enum):
    """What a row is taken as; a place of thread is taken for a colour, by its number."""

    NEED = "need"
    EXTRA = "extra"


class Worth(NamedTuple):
    """How the figures become one whole number, the first counting before the second.

    Parameters
    ----------
    times : int
        The colours of the chart: its figures are told times these, and so in whole numbers.
    together : bool
        Whether the first figure is quality and extras weighed together, and the second quality;
        else they are quality and extras.
    share : int
        What a point of an extra weighs in the first figure, where it does.
    base : int
        More than the second figure can be.
    large : bool
        Whether the whole may leave 64 bits.
    """

    times: int
    together: bool
    share: int
    base: int
    large: bool

    def of_need(self, weighed: int) -> int:
        """Return what the weighed points of a need, times the colours, are worth."""
        return weighed * self.base + (weighed if self.together else 0)

    def of_extra(self, points: int) -> int:
        """Return what the points of an extra are worth."""
        return self.times * self.share * points * self.base if self.together else points

    def first(self, worth: int) -> Fraction:
        """Return the first figure in weighed points."""
        return Fraction(worth // self.base, self.times)

    def figures(self, worth: int) -> tuple[tuple[Fraction, ...], Fraction]:
        """Return what counts before what is paid, and what counts after it."""
        first, second = self.first(worth), Fraction(worth % self.base, self.times)
        return ((first,), second) if self.together else ((first, second), Fraction(0))


@dataclass(frozen=True)
class Opened:
    """A chart with all its kits.

    Parameters
    ----------
    offers : Offers
        What they are chosen from; the chart is the only one.
    worth : Worth
        What the steps' worths mean.
    stairs : Staircase
        By goods total, up to a limit.
    """

    offers: Offers
    worth: Worth
    stairs: Staircase

    def steps(self, cap: int) -> Iterator[Step]:
        """Return all steps whose payable sum is within `cap`."""
        return self._steps(*self._within(cap))

    def tops(self, cap: int) -> list[Step]:
        """Return the steps within `cap` that no other beats before it comes to what is paid."""
        cost, worth = self._within(cap)
        if not len(cost):
            return []
        counts = worth // self.worth.base if self.worth.together else worth
        top = counts == counts.max()
        return list(self._steps(cost[top], worth[top]))

    def _steps(self, cost: Numbers, worth: Numbers) -> Iterator[Step]:
        till = self.offers.brief.register
        for goods, value in zip(cost.tolist(), worth.tolist(), strict=True):
            yield Step(self, goods, value, till.payable(goods))

    def _within(self, cap: int) -> tuple[Numbers, Numbers]:
        stairs = self.stairs
        within = np.zeros(len(stairs), dtype=bool)
        for low, high in self.offers.brief.register.affordable(cap):
            within |= (low <= stairs.cost) & (stairs.cost <= high)
        return stairs.cost[within], stairs.worth[within]

    def choice(self, cost: int, worth: int) -> Choice:
        """Return the choice of a step, the smallest if there are several."""
        taken = self.stairs.unfold(cost, worth)
        return self._shorter(taken, cost, worth) or _choice(taken)

    def _shorter(self, taken: Taken, cost: int, worth: int) -> Choice | None:
        """Return a choice with the same lines but some free ones at the end, if there is one.

        A list that ends comes before one that goes on. Staircases cannot tell, for what is added
        to both may turn that around.
        """
        free = {offer.sku for offer in map(_row, taken.goods) if not offer.price}
        paid = len(taken.lines)
        while paid and taken.lines[paid - 1][1] in free:
            paid -= 1
        for ending in range(paid, len(taken.lines)):
            lines = taken.lines[:ending]
            rest = _only({sku for _, sku, _ in lines}, self.offers)
            if not rest.charts or not (
                stairs := _Opening(rest, self.worth, cost, Clock()).staircase()
            ).has(cost, worth):
                continue
            again = stairs.unfold(cost, worth)
            if again.lines == lines:
                return _choice(again)
        return None


class Step(NamedTuple):
    """A step of an opened chart, and what is paid for it."""

    opened: Opened
    cost: int
    worth: int
    paid: int

    @property
    def figures(self) -> tuple[tuple[Fraction, ...], Fraction]:
        """What counts before what is paid, and after it; comparable from chart to chart."""
        return self.opened.worth.figures(self.worth)

    @property
    def first(self) -> Fraction:
        """The first figure in weighed points."""
        return self.opened.worth.first(self.worth)

    @property
    def choice(self) -> Choice:
        """The smallest choice that makes the step."""
        return self.opened.choice(self.cost, self.worth)


def winner(steps: Iterable[Step]) -> Step:
    """Return the best of some steps, ties told apart."""
    best: list[Step] = []
    for step in steps:
        if not best or (rank := _rank(step)) > _rank(best[0]):
            best = [step]
        elif rank == _rank(best[0]):
            best.append(step)
    return best[0] if len(best) == 1 else min(best, key=_order)


def _rank(step: Step) -> tuple[object, ...]:
    before, after = step.figures
    return before, -step.paid, after


def _order(step: Step) -> tuple[object, ...]:
    """Return what kits of equal figures are told apart by: less comes first."""
    choice = step.choice
    units = sorted(tally(choice, step.opened.offers).units.items())
    return units, [place.key for place in choice.places]


def opened(offers: Offers, limit: int, clock: Clock | None = None) -> Opened:
    """Return all kits of the one chart in `offers` whose goods cost no more than `limit`.

    Raises
    ------
    TooTangled
        If the thread of the chart is not for staircases.
    OutOfTime
        If there is no time left.
    """
    worth = _worth(offers)
    return Opened(offers, worth, _Opening(offers, worth, limit, clock or Clock()).staircase())


class _Opening:
    """The choices of one chart, by what they depend on."""

    def __init__(self, offers: Offers, worth: Worth, limit: int, clock: Clock) -> None:
        self.offers, self.worth, self.limit, self.brief = offers, worth, limit, offers.brief
        (self.chart,) = offers.charts
        discount = self.brief.register.discount_rate
        window = floor(1 / (1 - discount)) + 1 if discount else 1
        self.mint = Mint(self.brief.register.free_from, window, worth.large, clock)
        self.hoops = [o for o in self._all_rows() if isinstance(o, Hoop)]

    def _all_rows(self) -> Iterator[Offer]:
        for need in self.offers.plain_needs:
            yield from self.offers.needs[need]
        yield from self.offers.extras

    def staircase(self) -> Staircase:
        if self.offers.lost or self._crowded():
            return either([], self.mint)
        by_count: dict[Fraction | None, list[tuple[Fabric, int]]] = defaultdict(list)
        for fabric in self.offers.fabrics:
            units = rules.fabric_units(self.chart, fabric, self.brief)
            if units is not None and units <= fabric.stock:
                by_count[fabric.count].append((fabric, units))
        return either([self._at(count, cut) for count, cut in by_count.items()], self.mint)

    def _crowded(self) -> bool:
        """Tell whether kept rows would have to share one place in the kit."""
        keep = set(self.brief.choose.keep)
        rows = [*self._all_rows(), *self.offers.fabrics]
        kept = [row.category for row in rows if row.sku in keep]
        return len(set(kept)) < len(kept)

    def _at(self, count: Fraction | None, fabrics: list[tuple[Fabric, int]]) -> Staircase:
        """Return what can be had at an effective count."""
        by_hoops: dict[frozenset[Hoop], list[tuple[Fabric, int]]] = defaultdict(list)
        for fabric, units in fabrics:
            holds = (h for h in self.hoops if rules.hoop_holds(h, self.chart, fabric, self.brief))
            by_hoops[frozenset(holds)].append((fabric, units))
        parts = []
        for hoops, cut in by_hoops.items():
            piece = self._choice(self._need(*one) for one in cut)
            parts.append(
                self._all([piece, *self._plain(count, hoops), *self._extras(count, hoops)])
            )
        cloth = either(parts, self.mint)
        chart = self._choice([self._need(self.chart, self.chart.units)])
        rest = self._all([chart, cloth])
        if not len(rest):
            return rest
        return self._all([rest, *self._thread(count, self.limit - int(rest.cost[0]))])

    def _all(self, parts: list[Staircase]) -> Staircase:
        """Return the staircase of a step of each."""
        if not all(map(len, parts)):
            return either([], self.mint)
        parts.sort(key=len)
        rest = sum(int(part.cost[0]) for part in parts)
        whole = parts[0]
        rest -= int(whole.cost[0])
        for part in parts[1:]:
            rest -= int(part.cost[0])
            whole = both(whole, part, self.limit - rest, self.mint)
            if not len(whole):
                break
        return whole

    def _choice(self, options: Iterable[Option]) -> Staircase:
        return choices(options, self.limit, self.mint)

    def _fits(self, offer: Offer, count: Fraction | None, hoops: frozenset[Hoop]) -> bool:
        match offer:
            case Needle():
                return rules.needle_suits(offer, count, self.brief.fit)
            case Hoop():
                return offer in hoops
        return True

    def _need(self, offer: Offer, units: int) -> Option:
        weighed = self.worth.times * self.offers.weights.get(offer.category, 0) * offer.points
        return _option(offer, units, self.worth.of_need(weighed), Slot.NEED)

    def _plain(self, count: Fraction | None, hoops: frozenset[Hoop]) -> Iterator[Staircase]:
        for need in self.offers.plain_needs:
            rows = (o for o in self.offers.needs[need] if self._fits(o, count, hoops))
            yield self._choice(self._need(row, row.units) for row in rows)

    def _extras(self, count: Fraction | None, hoops: frozenset[Hoop]) -> Iterator[Staircase]:
        """Return staircases of extras; one for all where their number is limited."""
        keep, most = self.brief.choose.keep, self.brief.extras.most
        by_category: dict[str, list[Offer]] = defaultdict(list)
        kept = {extra.category for extra in self.offers.extras if extra.sku in keep}
        for extra in self.offers.extras:
            if extra.category not in kept or extra.sku in keep:
                by_category[extra.category] += [extra] * self._fits(extra, count, hoops)
        none = Option(0, 0, Taken())
        some = [
            (
                [] if category in kept else [none],
                [
                    _option(row, row.units, self.worth.of_extra(row.points), Slot.EXTRA)
                    for row in rows
                ],
            )
            for category, rows in sorted(by_category.items())
        ]
        if most is None or most >= len(some):
            yield from (self._choice(without + rows) for without, rows in some)
            return
        # By how many are taken.
        numbered = [self._choice([none]), *[self._choice([])] * most]
        for without, rows in some:
            one = self._choice(rows)
            more = [both(fewer, one, self.limit, self.mint) for fewer in numbered[:-1]]
            as_before = numbered if without else [self._choice([])] * len(numbered)
            numbered = [
                either([same, *another], self.mint)
                for same, another in zip(as_before, [[], *([m] for m in more)], strict=True)
            ]
        yield either(numbered, self.mint)

    def _thread(self, count: Fraction | None, limit: int) -> Iterator[Staircase]:
        if not self.offers.shaded:
            return
        givings = [
            [self._giving(number, place, stitches, count) for place in places]
            for number, ((_, stitches), places) in enumerate(
                zip(self.chart.shades or (), self.offers.places(self.chart), strict=True)
            )
        ]
        weight = self.worth.of_need(self.offers.weights["thread"])
        yield Shades(self.offers, givings, weight, self.mint).staircase(limit)

    def _giving(self, number: int, place: Place, stitches: int, count: Fraction | None) -> Giving:
        at_home = not place.thread.sku
        taken = 0 if at_home else skeins(place, stitches, count, self.offers)
        return Giving(number, place, taken)


def _worth(offers: Offers) -> Worth:
    """Return what worths mean for a chart."""
    times = max(1, len(offers.charts[0].shades or ())) if offers.shaded else 1
    most = len({extra.category for extra in offers.extras}) * _MOST_POINTS
    first = times * sum(offers.weights.values()) * _MOST_POINTS
    together, share, base = offers.brief.extras.spend == "together", 0, most + 1
    if together:
        share = int(Fraction(offers.brief.extras.weight) * offers.parts)
        base = first + 1
        first += times * share * most
    return Worth(times, together, share, base, large=(first + 1) * base >= _LARGE)


def _option(offer: Offer, units: int, worth: int, slot: Slot) -> Option:
    lines = ((0, offer.sku, units),) if offer.sku else ()
    return Option(units * offer.price, worth, Taken(lines, (), ((slot, offer),)))


def _choice(taken: Taken) -> Choice:
    slots: dict[Any, list[Any]] = defaultdict(list)
    places = {}
    for slot, thing in taken.goods:
        if isinstance(thing, Place):
            places[slot] = thing
        else:
            slots[slot].append(thing)
    return Choice(
        needs={row.category: row for row in slots[Slot.NEED]},
        places=tuple(places[colour] for colour in sorted(places)),
        extras=tuple(sorted(slots[Slot.EXTRA], key=lambda extra: extra.sku)),
    )


def _row(good: tuple[Any, Offer | Place]) -> Offer:
    _, thing = good
    return thing.thread if isinstance(thing, Place) else thing


def _only(skus: set[str], offers: Offers) -> Offers:
    """Return offers without all rows but these, and what is at home."""
    allowed = skus | {""}
    return replace(
        offers,
        needs={
            need: tuple(row for row in rows if row.sku in allowed)
            for need, rows in offers.needs.items()
        },
        extras=tuple(extra for extra in offers.extras if extra.sku in allowed),
        near={
            colour: [place for place in places if place.thread.sku in allowed]
            for colour, places in offers.near.items()
        },
    )
