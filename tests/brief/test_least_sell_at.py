"""The least price at which a kit leaves the shop the margin that it asks for."""

from decimal import Decimal

import pytest

from kitsolver import brief_of


def brief(rate):
    return brief_of(
        {"currency": "EUR", "cap": "30", "shop": {"sell_at": "30", "margin_rate": rate}}
    )


@pytest.mark.parametrize(
    ("rate", "cost", "least"),
    [("0", 1000, 1000), ("0.35", 650, 1000), ("0.35", 651, 1002), ("1", 0, 0), ("1", 1, None)],
)
def test_the_least_price_leaves_the_margin_and_one_below_does_not(rate, cost, least):
    asked = brief(rate)
    assert asked.least_sell_at(cost) == least
    if least:
        assert cost > at(asked, least - 1).most_trade_cost
        assert cost <= at(asked, least).most_trade_cost


def at(asked, minor):
    sold = asked.shop.model_copy(update={"sell_at": Decimal(minor) / 100})
    return asked.model_copy(update={"shop": sold})


def test_without_a_margin_there_is_none():
    assert brief_of({"currency": "EUR", "cap": "30"}).least_sell_at(5) is None
