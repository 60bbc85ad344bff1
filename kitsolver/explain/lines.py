"""What else the money of each line of the best kit could buy."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.brief.choosing import keeping, leaving_out
from kitsolver.brief.goods import NEVER_UNASKED
from kitsolver.brief.reading import with_settings
from kitsolver.explain.changed import came
from kitsolver.explain.proven import proven
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.audited import audited
from kitsolver.solve.engine import Solver
from kitsolver.solve.outcome import Kit, Line
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.time_limit import TimeLimit


@dataclass(frozen=True)
class Instead:
    """What one line could give way to.

    Parameters
    ----------
    line : Line
        Of the best kit.
    replaced : Kit or None
        The best kit with another row in its place, all other lines staying; where the line is the
        chart, its thread changes too. None if there is none.
    given_up : Kit or None
        The best kit if it were not bought: a need is then taken to be at home, and of an extra's
        category none is wanted. None for thread that is matched to a chart.
    """

    line: Line
    replaced: Kit | None
    given_up: Kit | None


def instead(
    catalogue: Catalogue,
    brief: Brief,
    best: Kit,
    *,
    solver: Solver,
    time_limit: TimeLimit,
    sku: str | None = None,
) -> Iterator[Instead]:
    """Yield for each line of the best kit, or for that of one sku, what it could give way to.

    Raises
    ------
    OutOfTime
        If that is not known in time.
    """

    def kit_of(asked: Brief) -> Kit | None:
        candidates = find_candidates(catalogue, asked, thin=True, time_limit=time_limit)
        selection = proven(candidates, solver, time_limit)
        return None if selection is None else audited(selection, candidates, catalogue)

    for line in best.lines:
        if sku not in (None, line.sku):
            continue
        rest = [
            other.sku
            for other in best.lines
            if other != line and (line.category, other.category) != ("chart", "thread")
        ]
        swapped = keeping(leaving_out(brief, [line.sku]), rest)
        extras = {other.category for other in best.lines if other.role == "extra"}
        replaced = kit_of(_extras_from(swapped, extras))
        if replaced is not None and not _newly(line.category, replaced, best):
            # Without the line, but with nothing in its place.
            replaced = None
        without = _without(brief, line, best, catalogue)
        yield Instead(line, replaced, kit_of(without) if without else None)


def _newly(category: str, kit: Kit, best: Kit) -> bool:
    """Tell whether a kit has a row of a category that the best kit has not."""
    new = set(came(kit, best))
    return any(line.sku in new and line.category == category for line in kit.lines)


def _without(brief: Brief, line: Line, best: Kit, catalogue: Catalogue) -> Brief | None:
    """Return the brief of one who does not buy a line; None where the line is not by itself."""
    left = leaving_out(brief, [line.sku])
    if line.role == "extra":
        asked = brief.extras.categories
        every = asked or (set(catalogue.rows) - set(brief.holds) - NEVER_UNASKED)
        return _extras_from(left, set(every) - {line.category}, brief.extras.most)
    if line.category == "thread" and best.shades:
        return None
    return with_settings(left, sets=[f"needs.{line.category}.have=true"])


def _extras_from(brief: Brief, categories: set[str], most: int | None = None) -> Brief:
    update: dict[str, Any] = {"categories": tuple(sorted(categories)), "most": most}
    if not categories:
        update["spend"] = "none"
    return brief.model_copy(update={"extras": brief.extras.model_copy(update=update)})
