"""The audit's checks of money: what is paid, and the shop's margin.

Shares nothing with the solver.
"""

from __future__ import annotations

from decimal import Decimal

from kitsolver.shop.money import to_text
from kitsolver.solve.audit import home
from kitsolver.solve.audit.evidence import Evidence, Piece, Verdict
from kitsolver.solve.audit.payment import Sold, payment_for


def cap(seen: Evidence) -> Verdict:
    """Add up what is paid, and hold it against the cap."""
    brief, claim = seen.brief, seen.claim
    if any(line.price != seen.price(line.sku) for line in claim.lines):
        return False, "a price is not the row's"
    sold = []
    for line in claim.lines:
        row, cost = seen.rows[line.sku], home.bought(seen, line) * seen.price(line.sku)
        sold.append(Sold(cost, row.get("tax_rate", ""), row.get("download") == "yes"))
    paid_for = payment_for(sold, brief)
    payable = paid_for.payable
    said = (claim.goods, claim.discount, claim.delivery, claim.tax, claim.payable)
    if said != paid_for:
        return False, f"the sums do not add up to {to_text(payable, brief.currency)}"
    paid, cap = to_text(payable, brief.currency), to_text(brief.total_cap, brief.currency)
    return payable <= brief.total_cap, f"{paid} payable of {cap}"


def _tens(seen: Evidence, line: Piece) -> Decimal:
    """Return how often a line's cost is to be paid: off the roll it is said of 10 cm."""
    units = home.bought(seen, line)
    row = seen.rows[line.sku]
    rolled = row.get("sold_by") == "length"
    return units * (Decimal(row.get("step_cm") or 10) / 10 if rolled else Decimal(1))


def margin(seen: Evidence) -> Verdict:
    """Hold what the lines cost the shop against the margin that is asked."""
    asked = seen.brief.shop
    if asked.sell_at is None or asked.margin_rate is None:
        return True, "no margin asked for"
    costs = [
        (_tens(seen, line), seen.rows[line.sku].get("trade_cost"))
        for line in seen.claim.lines
        if not seen.owned(line.sku)
    ]
    if any(units and not cost for units, cost in costs):
        return False, "a row's trade cost is not known"
    cost = sum((units * Decimal(said or 0) for units, said in costs), Decimal(0))
    holds = cost <= asked.sell_at * (1 - asked.margin_rate)
    return holds, "the margin asked for is left" if holds else "the margin asked for is not left"
