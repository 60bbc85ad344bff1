"""Everything that a kit with one chart can be, as one staircase.

The effective count ties fabric, needle and thread to each other, and a hoop ties itself to the
fabric. For each count, and each set of hoops that a fabric takes, what is left are choices that
do not know of each other, and their staircases add up.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from enum import Enum
from fractions import Fraction

from kitsolver.solve import rules
from kitsolver.solve.bychart.shades import Giving, Shades
from kitsolver.solve.bychart.staircase import Mint, Option, Staircase, Taken, both, choices, either
from kitsolver.solve.bychart.worth import Worth
from kitsolver.solve.entry.goods import Fabric, Hoop, Needle, Offer, Place
from kitsolver.solve.entry.offers import Offers
from kitsolver.solve.model.solver import Clock
from kitsolver.solve.tally import skeins


class Slot(Enum):
    """What a row is taken as; a place of thread is taken for a colour, by its number."""

    NEED = "need"
    EXTRA = "extra"


class Opening:
    """The choices of one chart, by what they depend on."""

    def __init__(self, offers: Offers, worth: Worth, limit: int, clock: Clock) -> None:
        self.offers, self.worth, self.limit, self.brief = offers, worth, limit, offers.brief
        (self.chart,) = offers.charts
        till = self.brief.register
        self.mint = Mint(till.free_from, till.window, worth.large, clock)
        rows = (*offers.needs.get("hoop", ()), *offers.extras)
        self.hoops = [row for row in rows if isinstance(row, Hoop)]

    def staircase(self) -> Staircase:
        """Return what all choices of the chart come to, by goods total."""
        if self.offers.lost or self.offers.crowded:
            return either([], self.mint)
        by_count: dict[Fraction | None, list[tuple[Fabric, int]]] = defaultdict(list)
        for fabric in self.offers.fabrics:
            units = rules.fabric_units(self.chart, fabric, self.brief)
            if units is not None and units <= fabric.stock:
                by_count[fabric.count].append((fabric, units))
        return either([self._at(count, cut) for count, cut in by_count.items()], self.mint)

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


def _option(offer: Offer, units: int, worth: int, slot: Slot) -> Option:
    lines = ((0, offer.sku, units),) if offer.sku else ()
    return Option(units * offer.price, worth, Taken(lines, (), ((slot, offer),)))
