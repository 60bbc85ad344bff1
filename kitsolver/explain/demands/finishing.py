"""Finishing: the finished design is within the opening of what is to frame it."""

from __future__ import annotations

from collections.abc import Iterator

from kitsolver.craft.fit import Size, fits
from kitsolver.explain.demands.explanation import Conflict, Obstacle, RuleExplanation
from kitsolver.explain.demands.fit import fitting_pairs
from kitsolver.explain.wording import size_text
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.quantities import finished_of
from kitsolver.solve.rules import finishing as rule

# Whatever they say of an opening, these frame nothing.
_FRAME_NOTHING = frozenset({"chart", "fabric", "thread"})


def _obstacles(conflict: Conflict) -> Iterator[Obstacle]:
    """Tell of an opening that is too small for every design."""
    candidates = conflict.alone.designs
    designs = [
        (size, chart.sku or "the chart at home")
        for chart, fabric in fitting_pairs(candidates)
        if (size := finished_of(chart, fabric.count)) is not None
    ]
    for category, openings in _framing(candidates) if designs else ():
        if any(fits(size, opening) for opening, _ in openings for size, _ in designs):
            continue
        opening, sku = max(openings, key=lambda pair: (sorted(pair[0]), pair[1]))
        size, name = min(designs, key=lambda pair: (pair[0].width * pair[0].height, pair[1]))
        brief = candidates.brief
        says = (
            f"{sku} has an opening of {size_text(opening, brief)}, "
            f"and {name} finishes at {size_text(size, brief)}"
        )
        yield Obstacle(says, {category: True} if category in brief.holds else {})


def _framing(candidates: Candidates) -> Iterator[tuple[str, list[tuple[Size, str]]]]:
    """Yield categories of which the kit is to hold a row, each of them with an opening."""
    keep = candidates.brief.choose.keep
    kept = [[row] for row in candidates.extras if row.sku in keep]
    for rows in (*candidates.needs.values(), *kept):
        openings = [(row.opening, row.sku) for row in rows if row.opening is not None]
        if rows and len(openings) == len(rows) and rows[0].category not in _FRAME_NOTHING:
            yield rows[0].category, openings


EXPLANATION = RuleExplanation(rule.Finishing, obstacles=_obstacles)
