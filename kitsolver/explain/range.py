"""Why a range cannot be made, where it fails for one kit."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from kitsolver.brief.range import Range
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.showing import html_of
from kitsolver.solve.engine import Solver
from kitsolver.solve.ranges.choices import WHOLE, Choices, for_copies
from kitsolver.solve.ranges.member import MemberSearch
from kitsolver.solve.ranges.range import RangeOutcome, pick_range
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

if TYPE_CHECKING:
    from kitsolver.explain.no_kit.why_no_kit import NoKit


class RangeAnswer(NamedTuple):
    """What a range came to, and why where a kit of it is lacking."""

    outcome: RangeOutcome
    why: NoKit | None

    def _repr_html_(self) -> str:
        return html_of(self)


def make_range(
    catalogue: Catalogue,
    asked: Range,
    *,
    solver: Solver = Solver.SCIP,
    seconds: float | None = None,
) -> RangeAnswer:
    """Return the kits of a range that are made from one stock, or why there are none.

    Takes and raises what `kitsolver.solve.ranges.range.pick_range` does.
    """
    time_limit = TimeLimit(seconds)
    found = pick_range(catalogue, asked, solver=solver, seconds=time_limit.left)
    why = why_lacking(found, catalogue, solver=solver, time_limit=time_limit)
    return RangeAnswer(found, why)


def why_lacking(
    found: RangeOutcome,
    catalogue: Catalogue,
    *,
    solver: Solver = Solver.SCIP,
    time_limit: TimeLimit | None = None,
) -> NoKit | None:
    """Return why the kit that is lacking cannot be made by itself, each copy having its share.

    None if no kit is lacking, or it is for what those before it take. When the time limit passes,
    what is known by then is told.
    """
    kit = found.lacking
    if kit is None:
        return None
    # In order, it may only be lacking for what those before it take.
    time_limit = time_limit or TimeLimit()
    # Not needed where there is a range, and not quick to import.
    from kitsolver.explain.no_kit.why_no_kit import NoKit, why_no_kit

    try:
        alone = MemberSearch(kit, Choices([kit], catalogue, time_limit), solver, time_limit)
        if found.asked.in_order and alone.best_so_far(WHOLE):
            return None
    except OutOfTime:
        return NoKit(("Time ran out before it was known what is in the way.",), complete=False)
    goods = for_copies(catalogue, kit.copies)
    return why_no_kit(goods, kit.brief, solver=solver, time_limit=time_limit)
