"""Money: from shelf prices to what is paid, and the margin that the shop keeps."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

from kitsolver.brief.numbers import DiscountRate, Flag, Money, Rate
from kitsolver.brief.part import Part, key


class TillRules(Part):
    """From shelf prices to what is paid."""

    discount_rate: DiscountRate = key(
        Decimal(0), "The discount on the goods.", unit="0 to below 1", example=0.05
    )
    delivery: Money = key(Decimal(0), "What delivery costs.", unit="the currency", example="4.90")
    delivery_free_from: Money = key(
        Decimal(0),
        "Goods after discount from which delivery is free; 0: never.",
        unit="the currency",
        example="40.00",
    )
    tax_rate: Rate = key(Decimal(0), "The tax on top of shelf prices.", unit="0 to 1", example=0.19)
    tax_on_delivery: Flag = key(False, "Whether delivery is taxed.", example=True)
    rounding: Literal["half-up", "half-even"] = key(
        "half-up", "How discount and tax are rounded where they lie halfway.", example="half-even"
    )


class Shop(Part):
    """What the shop itself asks of a kit: a margin on what it sells it at."""

    margin_rate: Rate | None = key(
        None, "The share of `sell_at` that is left to the shop.", unit="0 to 1", example=0.35
    )
    sell_at: Money | None = key(
        None,
        "What the shop sells the whole order at.",
        unit="the currency",
        example="30.00",
    )
    uncosted: Literal["refuse", "leave out"] = key(
        "refuse",
        "Whether a row without trade cost is bad input, or left out.",
        example="leave out",
    )
