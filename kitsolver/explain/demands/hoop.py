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
    candidates = conflict.alone.designs
    brief, hoops = candidates.brief, _hoops(candidates)
    known = _widest(candidates)
    if not hoops or not known:
        return
    if any(hoop.diameter is None or hoop.diameter <= max(known) for hoop in hoops):
        return
    hoop = min(hoops, key=lambda hoop: (hoop.diameter or Fraction(0), hoop.sku))
    side = (hoop.diameter or Fraction(0)) + 2 * HOOP_GRIP
    name = hoop.sku or "the hoop at home"
    # With all that the brief demands of fabric and margins, if a piece is left then.
    most = max(_widest(conflict.whole.designs) or known)
    across = length_text(most + 2 * HOOP_GRIP, brief)
    piece = "the largest piece of fabric that is left" if brief.kits == 1 else "the largest cut"
    says = f"{name} takes a piece of {size_text(Size(side, side), brief)}, and {piece} is {across}"
    yield Obstacle(f"{says} across", {"hoop": True} if "hoop" in brief.holds else {})


def _widest(candidates: Candidates) -> list[Fraction]:
    """Return the widest hoops that the pieces take; nothing where a piece is of unknown size."""
    brief = candidates.brief
    pieces = [piece_worked_on(*pair, brief) for pair in fitting_pairs(candidates)]
    known = [widest_hoop(piece) for piece in pieces if piece is not None]
    return known if len(known) == len(pieces) else []


def _hoops(candidates: Candidates) -> list[Hoop]:
    """Return the hoops of which the kit is to hold one."""
    keep = candidates.brief.choose.keep
    extras = [row for row in candidates.extras if row.sku in keep]
    rows = candidates.needs.get("hoop", extras)
    return [row for row in rows if isinstance(row, Hoop) and row.diameter is not None]


EXPLANATION = RuleExplanation(rule.HoopWithin, obstacles=_obstacles)
