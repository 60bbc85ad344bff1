"""What the audit goes by of the home list: how much of each row is there, and what a kit takes.

Written from the specification's section 9 alone; it shares nothing with the solver, nor its
arithmetic of part-used skeins. The root of two is a fraction of 60 digits here.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from math import ceil, floor, isqrt
from typing import NamedTuple

from kitsolver.craft.lengths import CM
from kitsolver.craft.thread import Charted, strands
from kitsolver.solve.audit.evidence import Evidence, Piece, Row

_ROOT = Fraction(isqrt(2 * 10**120), 10**60)
_INCH = Fraction(254, 10_000)


class Taken(NamedTuple):
    """Skeins of a single thread that are bought, and the metres that come from home."""

    skeins: int
    metres: Fraction


def at_home(seen: Evidence, sku: str) -> int:
    """Return how many units of a row are at home; 0 of a single thread."""
    row = seen.listed(sku)
    return 0 if row is None or seen.single(sku) else int(row.get("stock") or 1)


def metres_at_home(seen: Evidence, sku: str) -> Fraction:
    """Return the metres of a single thread that are at home."""
    row = seen.listed(sku)
    if row is None:
        return Fraction(0)
    if left := row.get("left_m"):
        return Fraction(left)
    return int(row.get("stock") or 1) * skein_of(seen.rows[sku])


def bought(seen: Evidence, line: Piece) -> int:
    """Return how many units of a line are bought, by its row in the home list."""
    return max(0, line.units - at_home(seen, line.sku))


def of_colour(seen: Evidence, asked: Charted, sku: str) -> Taken:
    """Return what the pools take of a single thread for a colour of the chart."""
    heads = seen.kits
    sharing = min(seen.brief.need("thread").shared_by, heads)
    row = seen.rows[sku]
    skein, plies = skein_of(row), Fraction(row.get("strands") or 6)
    need = skein
    if seen.count is not None:
        needle = seen.brief.fit.strands or asked.strands or strands(seen.count)
        crosses = Fraction(asked.stitches) * needle * 2 * (1 + _ROOT) * _INCH / seen.count
        lines = 2 * asked.backstitch / (100 * CM)
        need = sharing * (crosses + lines) * (1 + Fraction(seen.brief.fit.waste)) / plies
    return _served(need, skein, -(-heads // sharing), metres_at_home(seen, sku))


def of_row(seen: Evidence, units: int, sku: str) -> Taken:
    """Return what is taken of a single thread whose units no chart decides."""
    skein = skein_of(seen.rows[sku])
    return _served(skein, skein, units, metres_at_home(seen, sku))


def _served(need: Fraction, skein: Fraction, pools: int, home: Fraction) -> Taken:
    whole = ceil(need / skein)
    last = need - (whole - 1) * skein
    saved = min(pools, floor(home / last))
    metres, further = saved * last, 0
    if saved == pools:
        further = min(pools * (whole - 1), floor((home - pools * last) / skein))
    return Taken(pools * whole - saved - further, metres + further * skein)


def skein_of(row: Row) -> Fraction:
    """Return the length of a skein in metres."""
    return Fraction(row.get("skein_m") or 8)


def to_hundredths(metres: Fraction) -> Decimal:
    """Return metres to 0.01, half up."""
    return Decimal(floor(metres * 100 + Fraction(1, 2))).scaleb(-2)
