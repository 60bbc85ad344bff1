"""Minor units, rounding and check digits against their standards."""

from fractions import Fraction

import pytest

from kitsolver import BadInput, brief_of, pick, read_catalogue
from kitsolver.shop.money import exponent
from kitsolver.shop.till import Till

# ISO 4217, list one (the digits recalled from memory). CLDR, the other list in use, gives what
# people write: 0 for HUF and IDR where the standard has 2, 0 for IQD where it has 3.
EXPONENTS = {
    0: ["JPY", "KRW", "CLP", "ISK", "VND", "UGX", "PYG"],
    2: ["EUR", "USD", "GBP", "SEK", "HUF", "IDR"],
    3: ["KWD", "BHD", "TND", "JOD", "OMR", "IQD"],
    4: ["CLF", "UYW"],
}


@pytest.mark.parametrize(
    ("currency", "digits"), [(one, digits) for digits in EXPONENTS for one in EXPONENTS[digits]]
)
def test_minor_units_are_those_of_iso_4217(currency, digits):
    assert exponent(currency) == digits


@pytest.mark.parametrize("currency", ["XAU", "EUX", "eur", ""])
def test_no_minor_unit_no_currency(currency):
    # ISO 4217 gives gold "N.A."; the others are no codes.
    with pytest.raises(KeyError):
        exponent(currency)


@pytest.fixture
def shop(tmp_path):
    """Write a shop of one pair of scissors."""

    def write(price="1", gtin=""):
        path = tmp_path / "shop.csv"
        path.write_text(
            f"sku,name,category,price,quality,gtin\nS,Stork,scissors,{price},50,{gtin}\n",
            encoding="utf-8",
        )
        return path

    return write


def codes_of(path, currency="EUR"):
    """Name the findings in a catalogue, none if it is good."""
    try:
        read_catalogue(path, currency=currency)
    except BadInput as bad:
        return {(finding.column, finding.code) for finding in bad.findings}
    return set()


@pytest.mark.parametrize(
    ("currency", "good", "too_fine"),
    [("JPY", "12", "12.5"), ("EUR", "12.34", "12.345"), ("KWD", "1.234", "1.2345")],
)
def test_a_price_has_no_more_decimals_than_its_currency(shop, currency, good, too_fine):
    assert codes_of(shop(good), currency) == set()
    assert codes_of(shop(too_fine), currency) == {("price", "too-many-decimals")}


# ISO 80000-1 Annex B (recalled from memory), its range 0.1 taken as one minor unit: rule A goes
# to the even one, rule B up; no rounding in stages. Goods x rate, then both answers.
TIES = [
    (1225, "0.1", 122, 123),  # 12.25 -> 12.2, 12.3
    (1235, "0.1", 124, 124),  # 12.35 -> 12.4, 12.4
    (12254, "0.01", 123, 123),  # 12.254 -> 12.3, and not to 12.25 and then to 12.2
    (122496, "0.001", 122, 122),  # 12.2496 -> 12.2, and not to 12.25 and then to 12.3
    (1, "0.5", 0, 1),
    (3, "0.5", 2, 2),
    (40, "0.0125", 0, 1),  # 0.0125 is no binary fraction; the product is a tie all the same
    (1, "0.4999", 0, 0),
]


@pytest.mark.parametrize(("goods", "rate", "even", "up"), TIES)
def test_discount_and_tax_are_rounded_as_iso_80000_says(goods, rate, even, up):
    for half_even, expected in ((True, even), (False, up)):
        off = Till(discount_rate=Fraction(rate), half_even=half_even).receipt(goods)
        assert (off.discount, off.tax, off.payable) == (expected, 0, goods - expected)
        on = Till(tax_rate=Fraction(rate), half_even=half_even).receipt(goods)
        assert (on.discount, on.tax, on.payable) == (0, expected, goods + expected)


@pytest.mark.parametrize(("goods", "rate", "even", "up"), TIES)
@pytest.mark.parametrize("key", ["discount_rate", "tax_rate"])
def test_a_brief_asks_for_either_rule(shop, goods, rate, even, up, key):
    catalogue = read_catalogue(shop(goods), currency="JPY")
    for rounding, expected in (("half-even", even), ("half-up", up)):
        asked = {"currency": "JPY", "cap": 10**6, "holds": ["scissors"]}
        till = {key: rate, "rounding": rounding}
        receipt = pick(catalogue, brief_of(asked | {"till": till})).kit.receipt
        assert receipt.goods == goods
        assert (receipt.discount, receipt.tax) == (
            (expected, 0) if key == "discount_rate" else (0, expected)
        )


@pytest.mark.parametrize(("digits", "check"), [("629104150021", "3"), ("730001100001", "7")])
def test_gs1_check_digits(shop, digits, check):
    # GS1 General Specifications 7.9.1.
    for last in "0123456789":
        expected = set() if last == check else {("gtin", "gtin-check-digit")}
        assert codes_of(shop(gtin=digits + last)) == expected
    # Neighbours changed places: the weights 1 and 3 tell.
    swapped = digits[1] + digits[0] + digits[2:] + check
    assert codes_of(shop(gtin=swapped)) == {("gtin", "gtin-check-digit")}
