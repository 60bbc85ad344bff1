"""What is paid for a kit, written from the specification alone: it shares nothing with the till.

The specification's rule 7 and "Tax by row" in its section 8: goods are added up, the discount is
rounded once, delivery is charged on what is delivered unless the goods after discount reach the
free limit. The goods of each tax rate are discounted and taxed together, each rounded once; the
till's own rate has what is left of the whole discount, the rows without a rate, the rows that
state that same rate, and delivery where it is taxed.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Context, Decimal
from typing import NamedTuple

from kitsolver.brief.brief import Brief

# Enough digits for any sum of goods times any rate, so that only the last step rounds.
_EXACT = Context(prec=100)


class Sold(NamedTuple):
    """The goods of one line.

    Parameters
    ----------
    cost : int
        Units times price, in minor units.
    tax_rate : str
        The cell of its row; blank for the till's rate.
    downloaded : bool
        Whether nothing of it is delivered.
    """

    cost: int
    tax_rate: str
    downloaded: bool


class Payment(NamedTuple):
    """What is paid, in minor units."""

    goods: int
    discount: int
    delivery: int
    tax: int
    payable: int


def payment_for(sold: Iterable[Sold], brief: Brief) -> Payment:
    """Return what is paid for the lines of a kit."""
    till = brief.till
    rounding = ROUND_HALF_UP if till.rounding == "half-up" else ROUND_HALF_EVEN

    def part(amount: int, rate: Decimal) -> int:
        share = _EXACT.multiply(Decimal(amount), rate)
        return int(share.quantize(Decimal(1), rounding, _EXACT))

    goods, delivered = 0, 0
    goods_by_rate: defaultdict[Decimal, int] = defaultdict(int)
    for line in sold:
        goods += line.cost
        delivered += 0 if line.downloaded else line.cost
        goods_by_rate[Decimal(line.tax_rate or till.tax_rate)] += line.cost
    discount = part(goods, till.discount_rate)
    after = goods - discount
    free_from = brief.minor(till.delivery_free_from)
    is_free = delivered == 0 or (free_from > 0 and after >= free_from)
    delivery = 0 if is_free else brief.minor(till.delivery)
    goods_by_rate.pop(till.tax_rate, None)
    taxable = {
        rate: amount - part(amount, till.discount_rate) for rate, amount in goods_by_rate.items()
    }
    rest = after - sum(taxable.values())
    taxable[till.tax_rate] = rest + (delivery if till.tax_on_delivery else 0)
    tax = sum(part(amount, rate) for rate, amount in taxable.items())
    return Payment(goods, discount, delivery, tax, after + delivery + tax)
