"""The audit's checks of the lines: which they are, and how many units.

Shares nothing with the solver.
"""

from __future__ import annotations

from collections import Counter
from decimal import Decimal
from fractions import Fraction
from math import ceil, inf

from kitsolver.craft.cutting import pieces
from kitsolver.craft.fit import Size
from kitsolver.craft.lengths import CM
from kitsolver.solve.audit import home
from kitsolver.solve.audit.craft import skeins_of
from kitsolver.solve.audit.evidence import (
    Evidence,
    Piece,
    Row,
    Verdict,
    detail_of,
    length_of,
    step_of,
)


def needs(seen: Evidence) -> Verdict:
    """Hold the lines against the needs: one choice of each."""
    wrong = []
    for need in seen.brief.holds:
        lines, have = len(seen.needed(need)), seen.home(need)
        shaded = need == "thread" and seen.charted is not None and seen.bought(need)
        if shaded:
            good = len(seen.claim.shades) == len(seen.charted or ())
        else:
            good = lines == 0 if have and not lines else lines == 1 and seen.bought(need)
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
        if (line.units, line.from_home, line.metres) != taken(seen, line)
    ]
    heads = "one head" if seen.brief.heads == 1 else f"{seen.brief.heads} heads"
    return not wrong, detail_of(wrong, f"units for {heads}", "not the units it takes:")


def taken(seen: Evidence, line: Piece) -> tuple[int, int, Decimal | None]:
    """Return the units that a line takes, those from home among them, and the metres from home."""
    sku, needed = line.sku, line.role == "need"
    units = _units(seen, sku, needed)
    if seen.catalogue.home is None or not seen.single(sku):
        return units, min(units, home.at_home(seen, sku)), None
    if line.category == "thread" and needed and seen.charted is not None:
        colours = zip(seen.claim.shades, seen.charted, strict=False)
        taken = [home.of_colour(seen, c, sku) for shade, c in colours if shade.sku == sku]
    else:
        taken = [home.of_row(seen, units, sku)]
    metres = home.to_hundredths(sum((each.metres for each in taken), Fraction(0)))
    return sum(each.skeins for each in taken), 0, metres


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
        most = max((s.skeins for s in seen.claim.shades if s.sku == sku), default=0)
        if seen.listed(sku) is None or seen.single(sku):
            return most
        colours = zip(seen.claim.shades, seen.charted, strict=False)
        return max((skeins_of(seen, c, sku) for shade, c in colours if shade.sku == sku), default=0)
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
        line.sku for line in seen.claim.lines if home.bought(seen, line) > _in_stock(seen, line.sku)
    ]
    return not wrong, detail_of(wrong, "enough of every line in stock", "not enough in stock of")


def _in_stock(seen: Evidence, sku: str) -> float:
    """Return how many units of a row the shop can sell."""
    if seen.only_at_home(sku):
        return 0
    row = seen.rows[sku]
    unlimited = seen.owned(sku) or row.get("download") == "yes" or not row.get("stock")
    return inf if unlimited else int(row["stock"])
