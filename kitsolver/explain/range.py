"""Why a range cannot be made, where it fails for one kit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.engine import Solver
from kitsolver.solve.ranges.member import MemberSearch, StockShare, for_copies
from kitsolver.solve.ranges.range import RangeOutcome
from kitsolver.solve.time_limit import TimeLimit

if TYPE_CHECKING:
    from kitsolver.explain.no_kit.why_no_kit import NoKit


def why_lacking(
    found: RangeOutcome, catalogue: Catalogue, *, solver: Solver = Solver.SCIP
) -> NoKit | None:
    """Return why the kit that is lacking cannot be made by itself, each copy having its share.

    None if no kit is lacking, or it is for what those before it take.
    """
    kit = found.lacking
    if kit is None:
        return None
    # In order, it may only be lacking for what those before it take.
    alone = found.asked.in_order and MemberSearch(kit, catalogue, solver, TimeLimit()).best(
        StockShare()
    )
    if alone:
        return None
    # Not needed where there is a range, and not quick to import.
    from kitsolver.explain.no_kit.why_no_kit import why_no_kit

    return why_no_kit(for_copies(catalogue, kit.copies), kit.brief, solver=solver)
