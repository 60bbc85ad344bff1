"""Hoop: it is within the piece that a head works on, with room to grip around it."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from kitsolver.craft.fit import HOOP_GRIP, Size, widest_hoop
from kitsolver.explain.demands.explanation import Conflict, Obstacle, RuleExplanation
from kitsolver.explain.demands.fit import fitting_pairs
from kitsolver.explain.wording import length_text, size_text
from kitsolver.solve.candidates.candidate import Hoop
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.quantities import piece_worked_on
from kitsolver.solve.rules import hoop as rule


def _obstacles(conflict: Conflict) -> Iterator[Obstacle]:
    """Tell how large a piece the smallest hoop takes, where no piece is so large."""
    candidates = conflict.alone.candidates
    brief, hoops = candidates.brief, _hoops(candidates)
    pairs = list(fitting_pairs(candidates))
    pieces = [piece_worked_on(chart, fabric, brief) for chart, fabric in pairs]
    known = [widest_hoop(piece) for piece in pieces if piece is not None]
    if not hoops or not pairs or len(known) < len(pieces):
        return
    most = max(known)
    if any(hoop.diameter is None or hoop.diameter <= most for hoop in hoops):
        return
    hoop = min(hoops, key=lambda hoop: (hoop.diameter or Fraction(0), hoop.sku))
    side = (hoop.diameter or Fraction(0)) + 2 * HOOP_GRIP
    name = hoop.sku or "the hoop at home"
    across = length_text(most + 2 * HOOP_GRIP, brief)
    piece = "the largest piece of fabric that is left" if brief.kits == 1 else "the largest cut"
    says = f"{name} takes a piece of {size_text(Size(side, side), brief)}, and {piece} is {across}"
    yield Obstacle(f"{says} across", {"hoop": True} if "hoop" in brief.holds else {})


def _hoops(candidates: Candidates) -> list[Hoop]:
    """Return the hoops of which the kit is to hold one."""
    keep = candidates.brief.choose.keep
    extras = [row for row in candidates.extras if row.sku in keep]
    rows = candidates.needs.get("hoop", extras)
    return [row for row in rows if isinstance(row, Hoop) and row.diameter is not None]


EXPLANATION = RuleExplanation(rule.HoopWithin, obstacles=_obstacles)
