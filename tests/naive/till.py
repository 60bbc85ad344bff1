"""From shelf prices to what is paid."""

from typing import NamedTuple

from .numbers import exact, half_even, half_up

# ISO 4217 exponents of the currencies that the instances are drawn in.
EXPONENT = {"JPY": 0, "EUR": 2, "KWD": 3}


def minor(amount, currency):
    units = exact(amount) * 10 ** EXPONENT[currency]
    if units.denominator != 1:
        raise ValueError(f"{amount} is finer than {currency} allows")
    return int(units)


class Receipt(NamedTuple):
    goods: int
    discount: int
    delivery: int
    tax: int
    payable: int


class Till:
    def __init__(self, brief):
        table = brief.get("till", {})
        currency = brief["currency"]
        self.round = {"half-up": half_up, "half-even": half_even}[table.get("rounding", "half-up")]
        self.discount_rate = exact(table.get("discount_rate", 0))
        self.tax_rate = exact(table.get("tax_rate", 0))
        self.tax_on_delivery = table.get("tax_on_delivery", False)
        self.delivery = minor(table.get("delivery", 0), currency)
        self.free_from = minor(table.get("delivery_free_from", 0), currency)
        if "cap_per_head" in brief:
            self.cap = minor(brief["cap_per_head"], currency) * brief.get("heads", 1)
        else:
            self.cap = minor(brief["cap"], currency)

    def receipt(self, goods, downloaded=0, taxed=()):
        """Add up what is paid; `taxed` are (rate that a row states, its goods)."""
        discount = self.round(goods * self.discount_rate)
        after = goods - discount
        groups = {}
        for rate, part in taxed:
            if rate == self.tax_rate:
                continue
            groups[rate] = groups.get(rate, 0) + part
        own = [
            (rate, part - self.round(part * self.discount_rate)) for rate, part in groups.items()
        ]
        # Goods of 0 mean that no unit has a price above 0: nothing is delivered for money.
        free = goods == downloaded or after >= self.free_from > 0
        delivery = 0 if free else self.delivery
        rest = after - sum(part for _, part in own)
        rest += delivery if self.tax_on_delivery else 0
        tax = self.round(rest * self.tax_rate) + sum(self.round(part * rate) for rate, part in own)
        return Receipt(goods, discount, delivery, tax, after + delivery + tax)
