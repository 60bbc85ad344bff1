"""The order list for an office: what is bought, and the sums by tax rate."""

import html
import re
from fractions import Fraction

import pytest

from kitsolver import brief_of, pick, read_catalogue
from kitsolver.shop.till import Till
from kitsolver.show.sheet.paper import Paper
from kitsolver.show.sheet.sheet import Reader, sheet_html

# Invented goods.
SHOP = """\
sku,name,category,price,quality,tax_rate,colours,stitches_wide,stitches_high,weave,count,width_cm,height_cm,needle_sizes
C1,Three plums,chart,10.00,80,0.05,#5b3a6b:400,40,40,,,,,
F1,White aida,fabric,5.00,70,,,,,aida,14,40,40,
T1,Plum thread,thread,1.00,70,,#5b3a6b,,,,,,,
N1,Needles,needle,2.00,70,,,,,,,,,24;26
"""


@pytest.fixture
def outcome(tmp_path):
    shop = tmp_path / "shop.csv"
    shop.write_text(SHOP, encoding="utf-8")
    till = {"tax_rate": "0.2", "discount_rate": "0.1", "delivery": "4.00", "tax_on_delivery": True}
    brief = {"currency": "EUR", "cap": "30.00", "needs": {"scissors": {"have": True}}, "till": till}
    catalogue = read_catalogue(shop, currency="EUR")
    return catalogue, pick(catalogue, brief_of(brief))


def test_the_sums_by_rate_are_those_computed_by_hand(outcome):
    """Of 18.00 a tenth is taken off; the chart's 9.00 bear 5 %, and 7.20 and delivery 20 %."""
    catalogue, picked = outcome
    page = sheet_html(picked, reader=Reader.OFFICE, paper=Paper(catalogue))
    body = page.partition("<body")[2].partition(">")[2]
    told = " ".join(html.unescape(re.sub(r"<[^>]+>", " ", body)).split())
    assert "20 % 11.20 2.24 13.44" in told
    assert "5 % 9.00 0.45 9.45" in told
    assert "in all, EUR 22.89" in told
    assert "delivery, untaxed" not in told
    for line in picked.kit.lines:
        assert f"{line.sku} {line.name} 1" in told
    for place in ("Supplier", "Deliver to", "Bill to"):
        assert place in told


@pytest.mark.parametrize("on_delivery", [False, True])
def test_rates_and_their_taxes_add_up_to_the_receipt(on_delivery):
    till = Till(Fraction(7, 100), 390, 5000, Fraction(19, 100), tax_on_delivery=on_delivery)
    own = {Fraction(7, 100): 1234, Fraction(0): 501}
    receipt = till.receipt(3_999, own, 501)
    rates = till.by_rate(3_999, own, 501)
    untaxed = 0 if on_delivery else receipt.delivery
    assert sum(taxed + tax for taxed, tax in rates.values()) + untaxed == receipt.payable
    assert receipt.delivery == 390
