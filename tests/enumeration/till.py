"""The till: from goods to what is payable."""

from functools import cached_property
from math import inf

from .goods import half_up, minor, number


class Till:
    """From goods to what is payable, in minor units."""

    def __init__(self, brief):
        """Read rates and sums."""
        said, currency = brief.get("till", {}), brief["currency"]
        self.even = said.get("rounding", "half-up") == "half-even"
        self.discount, self.tax = (number(said.get(k, 0)) for k in ("discount_rate", "tax_rate"))
        self.delivery = minor(said.get("delivery", 0), currency)
        self.free_from = minor(said.get("delivery_free_from", 0), currency)
        self.taxes_delivery = said.get("tax_on_delivery", False)
        if "cap_per_head" in brief:
            self.cap = minor(brief["cap_per_head"], currency) * brief.get("heads", 1)
        else:
            self.cap = minor(brief["cap"], currency)

        # Neither delivery nor tax makes it less; one unit covers the rounding of a discount.
        self.most_goods = (self.cap + 1) / (1 - self.discount) if self.discount < 1 else inf

    def round(self, value):
        rounded = half_up(value)
        if self.even and 2 * value == 2 * rounded - 1 and rounded % 2:
            return rounded - 1
        return rounded

    @cached_property
    def known(self):
        return {}

    def payable(self, goods, delivered, apart=()):
        """Give what is paid; `delivered` are goods that are sent, `apart` goods by a rate."""
        key = goods, bool(delivered), apart
        if key not in self.known:
            self.known[key] = self.payable_of(*key)
        return self.known[key]

    def payable_of(self, goods, delivered, apart):
        after = goods - self.round(goods * self.discount)
        delivery = self.delivery if delivered else 0
        if after >= self.free_from > 0:
            delivery = 0
        tax, rest = 0, after
        for rate, part in apart:
            part -= self.round(part * self.discount)
            rest -= part
            tax += self.round(part * rate)
        tax += self.round((rest + delivery * self.taxes_delivery) * self.tax)
        return after + delivery + tax
