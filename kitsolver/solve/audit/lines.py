"""The audit's checks of the lines: which they are, and how many units.

Shares nothing with the solver.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from math import ceil

from kitsolver.craft.cutting import pieces
from kitsolver.craft.fit import Size
from kitsolver.craft.lengths import CM
from kitsolver.solve.audit.evidence import Evidence, Row, Verdict, detail_of, length_of, step_of


def needs(seen: Evidence) -> Verdict:
    """Hold the lines against the needs: one choice of each."""
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
    return not wrong, detail_of(wrong, "one choice of every need", "not one choice of")


def keep(seen: Evidence) -> Verdict:
    """Hold the lines against what is kept."""
    missing = sorted(set(seen.brief.choose.keep) - set(seen.rows))
    return not missing, detail_of(missing, "everything kept is in the kit", "missing:")


def leave_out(seen: Evidence) -> Verdict:
    """Hold the lines against what is left out."""
    held = sorted(set(seen.brief.choose.leave_out) & set(seen.rows))
    return not held, detail_of(held, "nothing left out is in the kit", "in the kit:")


def extras(seen: Evidence) -> Verdict:
    """Hold the extras against what the brief allows."""
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
    return not (wrong or crowded), detail_of(
        wrong + crowded, f"extras: {len(extras)}", "not asked for"
    )


def heads(seen: Evidence) -> Verdict:
    """Hold the units against what the heads take."""
    wrong = [
        line.sku
        for line in seen.claim.lines
        if line.units != _units(seen, line.sku, line.role == "need")
    ]
    heads = "one head" if seen.brief.heads == 1 else f"{seen.brief.heads} heads"
    return not wrong, detail_of(wrong, f"units for {heads}", "not the units it takes:")


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


def stock(seen: Evidence) -> Verdict:
    """Hold the units against the stock that the rows state."""
    wrong = [
        line.sku
        for line in seen.claim.lines
        if not seen.owned(line.sku)
        and seen.rows[line.sku].get("download") != "yes"
        and (stock := seen.rows[line.sku].get("stock"))
        and line.units > int(stock)
    ]
    return not wrong, detail_of(wrong, "enough of every line in stock", "not enough in stock of")
