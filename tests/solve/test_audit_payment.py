"""What the audit says is paid: figures of the specification, by hand and by `decimal`."""

from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal

import pytest

from kitsolver import brief_of, pick, read_catalogue
from kitsolver.solve.audit.payment import Sold, payment_for

CENT = Decimal("0.01")


def paid(till, *sold):
    brief = brief_of({"currency": "EUR", "cap": "1000", "till": till})
    lines = [Sold(int(Decimal(cost) * 100), rate, download) for cost, rate, download in sold]
    found = payment_for(lines, brief)
    return tuple(f"{Decimal(part) / 100:.2f}" for part in found)


GOODS_NO_RATE, GOODS_RATE = ("3.39", "", False), ("2.39", "0.19", False)


@pytest.mark.parametrize(
    ("till", "sold", "expected"),
    [
        # Rule 7 of section 4, step by step: 7.5 % of 12.34 is 0.9255, 20 % of 11.41 is 2.282.
        (
            {"discount_rate": "0.075", "tax_rate": "0.2", "delivery": "3.95"},
            [("12.34", "", False)],
            ("12.34", "0.93", "3.95", "2.28", "17.64"),
        ),
        # Taxed delivery: 20 % of 15.36 is 3.072.
        (
            {
                "discount_rate": "0.075",
                "tax_rate": "0.2",
                "delivery": "3.95",
                "tax_on_delivery": True,
            },
            [("12.34", "", False)],
            ("12.34", "0.93", "3.95", "3.07", "18.43"),
        ),
        # "delivery is charged unless after >= delivery_free_from > 0": 22.22 - 2.22 is 20.00.
        (
            {"discount_rate": "0.1", "delivery": "3.95", "delivery_free_from": "20"},
            [("22.22", "", False)],
            ("22.22", "2.22", "0.00", "0.00", "20.00"),
        ),
        (
            {"discount_rate": "0.1", "delivery": "3.95", "delivery_free_from": "20"},
            [("22.21", "", False)],
            ("22.21", "2.22", "3.95", "0.00", "23.94"),
        ),
        # Section 8, "Delivery is 0 when no unit has a price above 0", and nothing delivered.
        ({"delivery": "3.95"}, [("0.00", "", False)], ("0.00", "0.00", "0.00", "0.00", "0.00")),
        ({"delivery": "3.95"}, [("5.00", "", True)], ("5.00", "0.00", "0.00", "0.00", "5.00")),
        # Section 8, "Tax by row": 19 % of 5.78 is 1.0982; apart it would be 0.64 and 0.45.
        (
            {"tax_rate": "0.19"},
            [GOODS_NO_RATE, GOODS_RATE],
            ("5.78", "0.00", "0.00", "1.10", "6.88"),
        ),
        (
            {"tax_rate": 0.19},
            [GOODS_NO_RATE, ("2.39", "0.1900", False)],
            ("5.78", "0.00", "0.00", "1.10", "6.88"),
        ),
        (
            {"tax_rate": "0.190"},
            [GOODS_RATE, ("3.39", "0.19", False)],
            ("5.78", "0.00", "0.00", "1.10", "6.88"),
        ),
        # Two rates: 7 % of 2.39 is 0.1673, 19 % of 3.39 is 0.6441.
        (
            {"tax_rate": "0.19"},
            [GOODS_NO_RATE, ("2.39", "0.07", False)],
            ("5.78", "0.00", "0.00", "0.81", "6.59"),
        ),
        # Half up and half to even: 5 % of 0.50 is 0.025.
        ({"tax_rate": "0.05"}, [("0.50", "", False)], ("0.50", "0.00", "0.00", "0.03", "0.53")),
        (
            {"tax_rate": "0.05", "rounding": "half-even"},
            [("0.50", "0.05", False)],
            ("0.50", "0.00", "0.00", "0.02", "0.52"),
        ),
    ],
)
def test_payments_worked_by_hand(till, sold, expected):
    assert paid(till, *sold) == expected


@pytest.mark.parametrize("rounding", ["half-up", "half-even"])
@pytest.mark.parametrize("rate", ["0", "0.055", "0.07", "0.19", "0.2"])
@pytest.mark.parametrize("discount", ["0", "0.033", "0.15"])
def test_payments_worked_by_decimal(discount, rate, rounding):
    """Each rate's goods, the till's with delivery, added up in euros rather than cents."""
    mode = {"half-up": ROUND_HALF_UP, "half-even": ROUND_HALF_EVEN}[rounding]

    def cents(amount):
        return amount.quantize(CENT, mode)

    blank, same, other, free = map(Decimal, ("7.45", "13.35", "4.15", "2.05"))
    off = cents((blank + same + other + free) * Decimal(discount))
    others = [
        (part - cents(part * Decimal(discount)), own)
        for part, own in ((other, Decimal("0.075")), (free, Decimal("0.125")))
    ]
    rest = blank + same + other + free - off - sum(part for part, _ in others) + Decimal("1.90")
    tax = cents(rest * Decimal(rate)) + sum(cents(part * own) for part, own in others)
    till = {
        "discount_rate": discount,
        "tax_rate": rate,
        "delivery": "1.90",
        "tax_on_delivery": True,
        "rounding": rounding,
    }
    found = paid(
        till,
        ("7.45", "", False),
        ("13.35", f"{Decimal(rate):.6f}", True),
        ("4.15", "0.075", False),
        ("2.05", "0.125", False),
    )
    assert found == (
        "27.00",
        f"{off:.2f}",
        "1.90",
        f"{tax:.2f}",
        f"{blank + same + other + free - off + Decimal('1.90') + tax:.2f}",
    )


@pytest.mark.parametrize("rate", ["", "0.19"])
@pytest.mark.parametrize(("cap", "found"), [("6.88", True), ("6.87", False)])
def test_a_blank_cell_does_not_decide_whether_there_is_a_kit(tmp_path, rate, cap, found):
    shop = tmp_path / "shop.csv"
    shop.write_text(
        "sku,name,category,price,quality,tax_rate\n"
        f"S,Scissors,scissors,3.39,50,\nB,Bag,bag,2.39,50,{rate}\n"
    )
    brief = {
        "currency": "EUR",
        "cap": cap,
        "holds": ["scissors", "bag"],
        "till": {"tax_rate": "0.19"},
    }
    outcome = pick(read_catalogue(shop, currency="EUR"), brief_of(brief))
    assert (outcome.kit is not None) == found
    if outcome.kit is not None:
        assert (outcome.kit.receipt.tax, outcome.kit.receipt.payable) == (110, 688)
        assert all(check.holds is not False for check in outcome.kit.checks)
