"""The kit of today that changes fewest lines of another."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.brief.choosing import keeping
from kitsolver.craft.colour import DIFFERENCE_UNIT
from kitsolver.explain.changed import comparison_key
from kitsolver.explain.demands.thread import ANY_DIFFERENCE
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.audited import audited
from kitsolver.solve.engine import Solver
from kitsolver.solve.model.questions import nearest
from kitsolver.solve.outcome import Kit
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.time_limit import OutOfTime, TimeLimit


def nearest_kit(
    held: frozenset[str], catalogue: Catalogue, brief: Brief, solver: Solver, time_limit: TimeLimit
) -> Kit | None:
    """Return the kit that changes fewest lines of another, the best of these.

    A line that goes is a change, and so is an extra that comes.

    Parameters
    ----------
    held : frozenset of str
        The skus of the other kit.

    Raises
    ------
    OutOfTime
        If that is not known in time.
    """
    found: Kit | None = None
    fewest: tuple[Any, ...] | None = None
    for least, chart in sorted(_charts(held, catalogue, brief, time_limit)):
        if fewest is not None and least > fewest[0]:
            break
        asked = keeping(brief, [chart]) if chart else brief
        # Nothing is thinned out: what another row beats may be what is held.
        candidates = find_candidates(catalogue, asked, time_limit=time_limit)
        near = nearest(candidates, held, solver, time_limit)
        if near is None:
            continue
        selection, changes = near
        if not selection.proven:
            raise OutOfTime
        kit = audited(selection.selection, candidates, catalogue)
        before, paid, after = comparison_key(kit.figures)
        rank = (changes, *(-figure for figure in before), -paid, -after, kit.order)
        if fewest is None or rank < fewest:
            found, fewest = kit, rank
    return found


def _charts(
    held: frozenset[str], catalogue: Catalogue, brief: Brief, time_limit: TimeLimit
) -> Iterator[tuple[int, str]]:
    """Yield every chart with the fewest lines that change if it is taken; blank for none bought.

    Those of its colours apart, lines are taken to stay as they are.
    """
    charts = find_candidates(catalogue, brief, thin=True, time_limit=time_limit).charts
    tolerance = floor(brief.shades.tolerance * DIFFERENCE_UNIT)
    if brief.shades.free:
        tolerance = int(ANY_DIFFERENCE) * DIFFERENCE_UNIT
    shelf, palette = catalogue.rows.get("thread"), catalogue.palette
    # As an extra a thread may stay, whatever the chart.
    needed = shelf is not None and "thread" in brief.holds
    rows = shelf["colours"][shelf.having("sku", held)] if needed and shelf is not None else ()
    threads = [{palette.number[colour] for colour in colours.split(";")} for colours in rows]
    for chart in charts:
        gone = 0 if chart.sku in held or not chart.sku else 1
        near = {
            number
            for asked in chart.shades or ()
            for number in palette.near(asked.colour, tolerance)[0].tolist()
        }
        lost = sum(not near & colours for colours in threads) if chart.shades else 0
        yield gone + lost, chart.sku
