"""The view model of an order list for an office: what is bought, and the sums by tax rate."""

from __future__ import annotations

from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.shop.money import to_text
from kitsolver.shop.till import basket
from kitsolver.show.sentences import percent_text
from kitsolver.show.sheet.goods_facts import GoodsFacts
from kitsolver.solve.outcome import Kit


def office_view(kit: Kit, brief: Brief, facts: GoodsFacts) -> dict[str, Any]:
    """Return the lines to order, without what is at home, and what each tax rate comes to."""
    bought = [line for line in kit.lines if line.bought and line.sku not in brief.choose.own]
    till = brief.exact_till
    sold = basket(
        (line.total, facts.tax_rates.get(line.sku), line.sku in facts.downloads) for line in bought
    )
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
                "rate": percent_text(rate),
                "taxed": to_text(taxed, brief.currency),
                "tax": to_text(tax, brief.currency),
                "both": to_text(taxed + tax, brief.currency),
            }
            for rate, (taxed, tax) in till.by_rate(*sold).items()
            if taxed
        ],
        "untaxed_delivery": (
            to_text(kit.receipt.delivery, brief.currency)
            if kit.receipt.delivery and not till.tax_on_delivery
            else None
        ),
    }
