"""The view model of an order list for an office: what is bought, and the sums by tax rate."""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.shop.money import to_text
from kitsolver.show.sheet.goods_facts import GoodsFacts
from kitsolver.solve.outcome import Kit


def office_view(kit: Kit, brief: Brief, facts: GoodsFacts) -> dict[str, Any]:
    """Return the lines to order, without what is at home, and what each tax rate comes to."""
    bought = [line for line in kit.lines if line.bought and line.sku not in brief.choose.own]
    own: defaultdict[Fraction, int] = defaultdict(int)
    downloaded = 0
    for line in bought:
        if line.sku in facts.tax_rates:
            own[facts.tax_rates[line.sku]] += line.total
        if line.sku in facts.downloads:
            downloaded += line.total
    goods, till = kit.receipt.goods, brief.exact_till
    taxes = till.taxes(goods, own, downloaded)
    return {
        "lines": [
            {
                "sku": line.sku,
                "name": line.name,
                "units": line.bought,
                "each": to_text(line.price, brief.currency),
                "total": to_text(line.total, brief.currency),
            }
            for line in bought
        ],
        "rates": [
            {
                "rate": _percent(rate),
                "taxed": to_text(taxed, brief.currency),
                "tax": to_text(taxes[rate], brief.currency),
                "both": to_text(taxed + taxes[rate], brief.currency),
            }
            for rate, taxed in till.taxed(goods, own, downloaded).items()
            if taxed
        ],
        "untaxed_delivery": (
            to_text(kit.receipt.delivery, brief.currency)
            if kit.receipt.delivery and not till.tax_on_delivery
            else None
        ),
    }


def _percent(rate: Fraction) -> str:
    """Return a rate in per cent; rates have a few decimals, so the digits are exact."""
    return f"{float(100 * rate):.6f}".rstrip("0").rstrip(".")
