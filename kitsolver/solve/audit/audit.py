"""Recomputes every check of a kit from the catalogue's own rows.

Shares nothing with the solver: what enters, the rules, the models and the till are not imported.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil

from kitsolver.brief.brief import Brief
from kitsolver.craft.colour import DIFFERENCE_UNIT
from kitsolver.craft.cutting import pieces
from kitsolver.craft.fit import Size
from kitsolver.craft.lengths import CM
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.money import to_text
from kitsolver.solve.audit import craftcheck
from kitsolver.solve.audit.craftcheck import Verdict
from kitsolver.solve.audit.evidence import (
    Claim,
    Evidence,
    Piece,
    Row,
    length_of,
    number,
    step_of,
    told,
)
from kitsolver.solve.audit.payment import Sold, payment_for


@dataclass(frozen=True)
class Check:
    """One rule held against a kit; `holds` is None where it could not be checked."""

    rule: str
    holds: bool | None
    detail: str


def audit(claim: Claim, catalogue: Catalogue, brief: Brief) -> tuple[Check, ...]:
    """Hold a kit against every rule.

    Parameters
    ----------
    claim : Claim
        What the kit says of itself.
    catalogue : Catalogue
        Its rows as written are what counts.
    brief : Brief
        What was asked.

    Returns
    -------
    tuple of Check
        One a rule, in a fixed order.
    """
    evidence = Evidence(claim, catalogue, brief)
    if strange := _strange(evidence):
        told = f"not lines of this catalogue: {', '.join(strange)}"
        return tuple(
            Check(rule, False if rule == "needs" else None, f"not checked: {told}")
            for rule in _CHECKS
        )
    return tuple(Check(rule, *holds(evidence)) for rule, holds in _CHECKS.items())


def _strange(seen: Evidence) -> list[str]:
    """Return the skus of lines that stand twice or are no such row, and of shades without one."""
    lines = seen.claim.lines
    times = Counter(line.sku for line in lines)
    wrong = [
        line.sku
        for line in lines
        if times[line.sku] > 1
        or line.sku not in seen.catalogue
        or seen.catalogue.row(line.sku)["category"] != line.category
    ]
    return wrong + sorted({x.sku for x in seen.claim.shades if x.sku} - set(times))


def _needs(seen: Evidence) -> Verdict:
    wrong = []
    for need in seen.brief.holds:
        lines, home = len(seen.needed(need)), seen.home(need)
        shaded = need == "thread" and seen.charted is not None and seen.bought(need)
        if shaded:
            good = len(seen.claim.shades) == len(seen.charted or ())
        else:
            good = lines == 0 if home and not lines else lines == 1 and seen.bought(need)
        if not good:
            wrong.append(need)
    return not wrong, told(wrong, "one choice of every need", "not one choice of")


def _conditions(seen: Evidence) -> Verdict:
    wrong = []
    for line in seen.claim.lines:
        row, whole = seen.rows[line.sku], seen.brief.all
        words = {word.strip() for word in row.get("tags", "").split(";")}
        good = set(whole.tags_all) <= words and not words & set(whole.tags_none)
        tables = seen.brief.extras.conditions
        asked = tables.get(line.category)
        if line.role == "need":
            asked = seen.brief.need(line.category)
        if asked is not None:
            good &= not words & set(asked.tags_none)
            good &= not asked.tags_any or bool(words & set(asked.tags_any))
            good &= asked.max_price is None or Decimal(row["price"]) <= asked.max_price
            good &= asked.min_quality is None or Decimal(row["quality"]) >= asked.min_quality
            good &= all(_allowed(row, column, allowed) for column, allowed in asked.only.items())
        if not good:
            wrong.append(line.sku)
    return not wrong, told(wrong, "every condition of the brief is met", "not met by")


_BLANK = {
    "serves": "1",
    "skein_m": "8",
    "strands": "6",
    "smallest_cm": "10",
    "step_cm": "10",
    "kind": "cotton",
    "download": "no",
    "sold_by": "unit",
}


def _allowed(row: Row, column: str, allowed: tuple[object, ...]) -> bool:
    cell = row.get(column, "") or _BLANK.get(column, "")
    values = [cell, *(part.strip() for part in cell.split(";"))]
    if column == "colours":
        values = [value.split(":")[0].strip().lower() for value in values]
    for wanted in allowed:
        text = str(wanted).lower() if column == "colours" else str(wanted)
        if text in values:
            return True
        if _isnumber(text) and any(
            _isnumber(value) and Decimal(value) == Decimal(text) for value in values
        ):
            return True
    return False


def _isnumber(text: str) -> bool:
    return text.replace(".", "", 1).isascii() and text.replace(".", "", 1).isdigit()


def _keep(seen: Evidence) -> Verdict:
    missing = sorted(set(seen.brief.choose.keep) - set(seen.rows))
    return not missing, told(missing, "everything kept is in the kit", "missing:")


def _leave_out(seen: Evidence) -> Verdict:
    held = sorted(set(seen.brief.choose.leave_out) & set(seen.rows))
    return not held, told(held, "nothing left out is in the kit", "in the kit:")


def _extras(seen: Evidence) -> Verdict:
    asked, extras = seen.brief.extras, [x for x in seen.claim.lines if x.role == "extra"]
    wrong = [
        line.sku
        for line in extras
        if asked.spend == "none"
        or line.category in seen.brief.holds
        or (
            line.category in {"chart", "fabric", "thread", "needle"}
            if asked.categories is None
            else line.category not in asked.categories
        )
    ]
    crowded = [name for name, times in Counter(x.category for x in extras).items() if times > 1]
    if asked.most is not None and len(extras) > asked.most:
        return False, f"{len(extras)} extras, at most {asked.most} asked for"
    return not (wrong or crowded), told(wrong + crowded, f"extras: {len(extras)}", "not asked for")


def _heads(seen: Evidence) -> Verdict:
    wrong = [
        line.sku
        for line in seen.claim.lines
        if line.units != _units(seen, line.sku, line.role == "need")
    ]
    heads = "one head" if seen.brief.heads == 1 else f"{seen.brief.heads} heads"
    return not wrong, told(wrong, f"units for {heads}", "not the units it takes:")


def _units(seen: Evidence, sku: str, needed: bool) -> int:
    row, heads = seen.rows[sku], seen.kits
    category = row["category"]
    if category == "fabric":
        if row.get("sold_by") == "length":
            return _steps(seen, row, heads, needed)
        if not needed or seen.cut is None or seen.fabric is None:
            return heads
        return -(-heads // max(1, pieces(seen.cut, seen.fabric)))
    if category == "thread" and needed and seen.charted is not None:
        return max((s.skeins for s in seen.claim.shades if s.sku == sku), default=0)
    serves = int(row.get("serves") or 1)
    return -(-heads // (serves * (seen.brief.need(category).shared_by if needed else 1)))


def _steps(seen: Evidence, row: Row, heads: int, needed: bool) -> int:
    """Return the fewest steps off a roll that give every head a piece."""
    step, width = step_of(row), length_of(row, "width")
    least = ceil(Fraction(row.get("smallest_cm") or 10) * CM / step)
    if not needed or seen.cut is None:
        return heads * least
    short = min(seen.cut)
    if short > width:
        return 0
    steps = least
    while pieces(seen.cut, Size(width, steps * step), heads) < heads:
        steps += 1
    return steps


def _stock(seen: Evidence) -> Verdict:
    wrong = [
        line.sku
        for line in seen.claim.lines
        if not seen.owned(line.sku)
        and seen.rows[line.sku].get("download") != "yes"
        and (stock := seen.rows[line.sku].get("stock"))
        and line.units > int(stock)
    ]
    return not wrong, told(wrong, "enough of every line in stock", "not enough in stock of")


def _cap(seen: Evidence) -> Verdict:
    brief, claim = seen.brief, seen.claim
    if any(line.price != seen.price(line.sku) for line in claim.lines):
        return False, "a price is not the row's"
    sold = []
    for line in claim.lines:
        row, cost = seen.rows[line.sku], line.units * seen.price(line.sku)
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
    row = seen.rows[line.sku]
    rolled = row.get("sold_by") == "length"
    return line.units * (Decimal(row.get("step_cm") or 10) / 10 if rolled else Decimal(1))


def _margin(seen: Evidence) -> Verdict:
    """Hold what the lines cost the shop against the margin that is asked."""
    asked = seen.brief.shop
    if asked.sell_at is None or asked.margin_rate is None:
        return True, "no margin asked for"
    costs = [
        (_tens(seen, line), seen.rows[line.sku].get("trade_cost"))
        for line in seen.claim.lines
        if not seen.owned(line.sku)
    ]
    if any(not cost for _, cost in costs):
        return False, "a row's trade cost is not known"
    cost = sum((units * Decimal(said or 0) for units, said in costs), Decimal(0))
    holds = cost <= asked.sell_at * (1 - asked.margin_rate)
    return holds, "the margin asked for is left" if holds else "the margin asked for is not left"


def _quality(seen: Evidence) -> Verdict:
    quality, extras = figures_of(seen)
    good = (quality, extras) == (seen.claim.quality, seen.claim.extras)
    return good, f"quality {number(quality)} of 100, extras {number(extras)}"


def figures_of(seen: Evidence) -> tuple[Fraction, Fraction]:
    """Return quality and extras of a kit as its rows have them, whatever it says of itself."""
    weighed, weights = Fraction(0), Fraction(0)
    for need in seen.brief.holds:
        if not seen.bought(need):
            continue
        weight = Fraction(seen.brief.need(need).weight)
        weights += weight
        weighed += weight * _scored(seen, need)
    quality = weighed / weights if weights else Fraction(0)
    extras = sum(
        (Fraction(seen.rows[x.sku]["quality"]) for x in seen.claim.lines if x.role == "extra"),
        Fraction(0),
    )
    return quality, extras


def _scored(seen: Evidence, need: str) -> Fraction:
    lines = seen.needed(need)
    if need != "thread" or seen.charted is None:
        return seen.scored(need, seen.rows[lines[0].sku]) if lines else Fraction(100)
    mismatch, points = Fraction(seen.brief.shades.mismatch), Fraction(0)
    for shade in seen.claim.shades:
        own = seen.scored(need, seen.rows[shade.sku]) if shade.sku else Fraction(100)
        left = max(Fraction(0), own - mismatch * Fraction(shade.difference, DIFFERENCE_UNIT))
        points += Fraction(int(left * 100 + Fraction(1, 2)), 100)
    return points / max(1, len(seen.claim.shades))


_CHECKS: dict[str, Callable[[Evidence], Verdict]] = {
    "needs": _needs,
    "conditions": _conditions,
    "leave out": _leave_out,
    "keep": _keep,
    "extras": _extras,
    "fit": craftcheck.fit,
    "needle": craftcheck.needle,
    "thread": craftcheck.thread,
    "contrast": craftcheck.contrast,
    "hoop": craftcheck.hoop,
    "finishing": craftcheck.finishing,
    "heads": _heads,
    "stock": _stock,
    "cap": _cap,
    "margin": _margin,
    "quality": _quality,
}
