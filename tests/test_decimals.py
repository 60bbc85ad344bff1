"""Money and quality as decimal numbers beside the whole units in which they are held."""

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from kitsolver import Line, ladder, pick, read_brief, read_catalogue, record_of, why_not

DEMO = Path(__file__).parents[1] / "catalogues"


@pytest.fixture(scope="module")
def shop():
    return read_catalogue(DEMO / "tormellick-whelk.csv", currency="EUR")


@pytest.fixture(scope="module")
def brief():
    return read_brief(DEMO / "bundle.toml")


def test_a_kit_s_decimals_are_those_of_its_record(shop, brief):
    outcome = pick(shop, brief)
    kit, record = outcome.kit, record_of(outcome)
    assert str(kit.payable_decimal) == record["payable"]
    assert str(kit.goods_decimal) == record["goods"]
    assert float(kit.quality_decimal) == record["quality"]
    assert float(kit.extras_decimal) == record["extras_quality"]
    for line, written in zip(kit.lines, record["lines"], strict=True):
        assert str(line.price_decimal) == written["price"]
        assert str(line.total_decimal) == written["line_total"]
        assert float(line.quality_decimal) == written["quality"]


def test_a_rung_s_cap_and_a_row_s_price(shop, brief):
    rung = ladder(shop, brief, low=29_85, high=29_85).rungs[0]
    assert rung.cap_decimal == Decimal("29.85")
    found = replace(why_not(shop, brief, "SC-GULLWING"), price=1_23, quality=45_50)
    assert (found.price_decimal, found.quality_decimal) == (Decimal("1.23"), Decimal("45.5"))
    found = replace(found, price=None, quality=None)
    assert (found.price_decimal, found.quality_decimal) == (None, None)


@pytest.mark.parametrize(
    ("currency", "price"), [("EUR", "12.34"), ("JPY", "1234"), ("KWD", "1.234"), ("CLF", "0.1234")]
)
def test_decimals_are_those_of_the_currency(currency, price):
    line = Line("A", "a", "bag", "extra", 1, 1234, 50, currency=currency)
    assert str(line.price_decimal) == price
