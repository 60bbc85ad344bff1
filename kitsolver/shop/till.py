"""The till: from shelf prices to what is paid, and back from a cap to affordable goods."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache
from math import floor
from typing import NamedTuple

# More minor units than any order comes to: larger sums are refused on reading.
NO_CAP = 10**18

# A closed interval of goods totals, in minor units.
Interval = tuple[int, int]
Test = Callable[[int], bool]


@dataclass(frozen=True)
class Receipt:
    """What is paid for goods, in minor units."""

    goods: int
    discount: int
    delivery: int
    tax: int

    @property
    def payable(self) -> int:
        """What the buyer pays, all in."""
        return self.goods - self.discount + self.delivery + self.tax


class Basket(NamedTuple):
    """Goods as the till takes them, in minor units at shelf prices.

    Parameters
    ----------
    goods : int
        All together.
    own : mapping of Fraction to int
        Of these the goods whose rows state a tax rate, by that rate.
    downloaded : int
        Of these the goods that are not delivered.
    """

    goods: int
    own: Mapping[Fraction, int]
    downloaded: int


def basket(costs: Iterable[tuple[int, Fraction | None, bool]]) -> Basket:
    """Return the basket of rows: each's cost, its own tax rate, and whether it is a download."""
    goods, downloaded, own = 0, 0, dict[Fraction, int]()
    for cost, rate, download in costs:
        goods += cost
        downloaded += cost if download else 0
        if rate is not None:
            own[rate] = own.get(rate, 0) + cost
    return Basket(goods, own, downloaded)


@dataclass(frozen=True)
class Till:
    """The shop's arithmetic, in minor units and exact rates.

    Parameters
    ----------
    discount_rate, tax_rate : Fraction
        From 0 to below 1, and from 0 to 1.
    delivery : int
        Charged on any goods unless they are worth `delivery_free_from` after discount.
    delivery_free_from : int
        0 means never free.
    tax_on_delivery : bool
        Whether delivery is taxed.
    half_even : bool
        Ties round to even instead of up.
    """

    discount_rate: Fraction = Fraction(0)
    delivery: int = 0
    delivery_free_from: int = 0
    tax_rate: Fraction = Fraction(0)
    tax_on_delivery: bool = False
    half_even: bool = False

    def receipt(
        self, goods: int, own: Mapping[Fraction, int] | None = None, downloaded: int = 0
    ) -> Receipt:
        """Return what is paid for `goods` minor units at shelf prices.

        Parameters
        ----------
        own : mapping of Fraction to int, optional
            Of these the goods whose rows state a tax rate, by that rate. Each rate's discount is
            rounded by itself, and what is left of the whole discount goes to the till's rate;
            each rate's tax is rounded once. Rows that state the till's rate belong to it.
        downloaded : int
            Of these the goods that are not delivered.
        """
        discount = self._discount(goods)
        delivery = self._delivery(goods, discount, downloaded)
        taxed = self._taxed(goods - discount, delivery, own)
        tax = sum(self._part(sum_, rate) for rate, sum_ in taxed.items())
        return Receipt(goods, discount, delivery, tax)

    def by_rate(
        self, goods: int, own: Mapping[Fraction, int] | None = None, downloaded: int = 0
    ) -> dict[Fraction, tuple[int, int]]:
        """Return what is taxed at each rate and its tax, in minor units, as `receipt` takes goods.

        The till's rate comes first, with taxed delivery; the sums are those after discount.
        """
        discount = self._discount(goods)
        delivery = self._delivery(goods, discount, downloaded)
        taxed = self._taxed(goods - discount, delivery, own)
        return {rate: (sum_, self._part(sum_, rate)) for rate, sum_ in taxed.items()}

    def payable(self, goods: int) -> int:
        """Return what is paid for `goods`, in minor units."""
        return self.receipt(goods).payable

    @property
    def has_gap(self) -> bool:
        """Whether what is payable can fall as goods rise."""
        return self.delivery > 0 and self.delivery_free_from > 0

    @property
    def free_from(self) -> int:
        """The least goods total that may cost less than a lower one; 0 if there is none."""
        return self._free if self.has_gap else 0

    @property
    def window(self) -> int:
        """Goods totals for which the same is paid differ by less than this; 1 if none do.

        The rounded discount can grow by the same minor unit as the goods.
        """
        return floor(1 / (1 - self.discount_rate)) + 1 if self.discount_rate else 1

    def least(self, goods: int) -> int:
        """Return the least that is paid for a goods total of `goods` or more."""
        return min(self.payable(goods), self.payable(max(goods, self._free)))

    def affordable(self, cap: int) -> list[Interval]:
        """Return the goods totals whose payable sum is within `cap`.

        What is payable falls at one place only as goods rise: where delivery becomes free. So the
        totals form at most three intervals, in rising order: nothing bought, goods delivered at a
        charge, and goods delivered free.
        """
        return list(_affordable(self, cap))

    def most_goods(self, cap: int) -> int:
        """Return the greatest goods total whose payable sum is within `cap`."""
        return max(high for _, high in self.affordable(cap))

    def paying(self, payable: int) -> list[Interval]:
        """Return the goods totals for which exactly `payable` is paid."""
        within = self.affordable(payable)
        return [
            (_first(low, high, lambda goods: self.payable(goods) >= payable), high)
            for low, high in within
            if self.payable(high) == payable
        ]

    @cached_property
    def _free(self) -> int:
        """Return the least total that is delivered free, 1 if none is."""
        most = floor((self.delivery_free_from + 1) / (1 - self.discount_rate)) + 1
        return _first(
            1, most, lambda goods: self.delivery_free_from <= goods - self._discount(goods)
        )

    def _delivery(self, goods: int, discount: int, downloaded: int) -> int:
        free = goods == downloaded or 0 < self.delivery_free_from <= goods - discount
        return 0 if free else self.delivery

    def _taxed(
        self, after: int, delivery: int, own: Mapping[Fraction, int] | None
    ) -> dict[Fraction, int]:
        """Return what is taxed at each rate, of goods after discount and of delivery."""
        apart = {
            rate: sum_ - self._discount(sum_)
            for rate, sum_ in (own or {}).items()
            if rate != self.tax_rate
        }
        carried = delivery if self.tax_on_delivery else 0
        return {self.tax_rate: after - sum(apart.values()) + carried, **apart}

    def _discount(self, goods: int) -> int:
        return self._part(goods, self.discount_rate)

    def _part(self, sum_: int, rate: Fraction) -> int:
        """Return a part of a sum, rounded to whole minor units."""
        above, below = sum_ * rate.numerator, rate.denominator
        return (
            round(Fraction(above, below)) if self.half_even else (2 * above + below) // (2 * below)
        )


@lru_cache(maxsize=1 << 12)
def _affordable(till: Till, cap: int) -> tuple[Interval, ...]:
    """Return what `Till.affordable` does; a ladder asks for the same caps again and again."""
    # Rounding makes the discount half a unit more at the most.
    most = floor((cap + Fraction(1, 2)) / (1 - till.discount_rate))
    free = till._free
    stretches = [(0, 0), (1, min(free - 1, most)), (free, most)]
    found = []
    for low, high in stretches:
        if low <= high and till.payable(low) <= cap:
            last = _first(low, high + 1, lambda goods: till.payable(goods) > cap) - 1
            found.append((low, last))
    return tuple(found)


def _first(low: int, high: int, holds: Test) -> int:
    """Return the least number from `low` for which a test holds, or `high` if there is none.

    The test must hold for every number above one for which it holds.
    """
    return low + bisect_left(range(low, high), True, key=holds)
