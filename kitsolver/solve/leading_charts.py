"""What kits are chosen from where a shop has very many charts: only charts that can lead.

Most charts of a large shop count too little for a best kit, however good all else is. Once any kit
is known that is about as good as the best, this is seen from the charts' quality alone. So these
charts do not become candidates, and their colours are compared with no thread.
"""

from __future__ import annotations

from contextlib import suppress
from fractions import Fraction
from functools import partial
from math import ceil
from typing import NamedTuple

import numpy as np

from kitsolver.brief.brief import Brief
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.relaxation import share
from kitsolver.solve.decomposition.search import by_chart
from kitsolver.solve.engine import Solver
from kitsolver.solve.figures import weighed_points
from kitsolver.solve.presolve.admitted_rows import AdmittedRows
from kitsolver.solve.presolve.category_rows import CategoryRows
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.presolve.row_memory import RowMemory
from kitsolver.solve.rules.rule import Mask, among
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

# With fewer charts, the bounds of all take less time than a search among some.
_MANY = 1_000
# Among so many charts a first kit is looked for, in one of so many equal parts of the time.
_FIRST = 32
_PARTS = 4

# No row's quality is above this, in hundredths of a point.
_MOST_POINTS = 100_00


class Leading(NamedTuple):
    """Candidates with the charts that can lead, and how many charts were considered."""

    candidates: Candidates
    considered: int

    @property
    def every(self) -> bool:
        """Whether no chart was left out."""
        return len(self.candidates.charts) == self.considered


def leading_candidates(
    catalogue: Catalogue,
    brief: Brief,
    *,
    solver: Solver,
    time_limit: TimeLimit,
    memory: RowMemory | None = None,
) -> Leading:
    """Return everything that a best kit may be chosen from, at the brief's cap and at higher ones.

    What is left out of `find_candidates` are charts with which every kit, whatever it costs, has
    less than the first figure of a kit within the cap.

    Parameters
    ----------
    memory : RowMemory, optional
        As `find_candidates` takes it.

    Raises
    ------
    OutOfTime
        If there is no time left.
    SolverFault
        As `kitsolver.solve.decomposition.search.by_chart` does.
    """
    time_limit.check()
    find = partial(find_candidates, catalogue, brief, thin=True, time_limit=time_limit)
    # Which charts lead depends on the cap, too: their places are not kept for other briefs.
    rows = memory.without_places() if memory else RowMemory()
    charts = _charts(CategoryRows(catalogue, brief, thin=True, memory=rows))
    if charts is not None:
        promising = find(memory=rows, charts=partial(_promising, charts))
        first = _reached(promising, solver, time_limit.part(_PARTS))
        if first is not None:
            leading = charts.table["quality"] >= _least_quality(first, promising)
            return Leading(find(memory=rows, charts=lambda _: leading), len(charts))
    candidates = find(memory=memory)
    return Leading(candidates, len(candidates.charts))


def other_leading(
    catalogue: Catalogue,
    candidates: Candidates,
    found: Selection | None,
    *,
    time_limit: TimeLimit,
    memory: RowMemory,
) -> Candidates | None:
    """Return what a best kit within the cap may be chosen from with charts that were left out.

    Parameters
    ----------
    candidates : Candidates
        Of a brief, with some of its charts.
    found : Selection, optional
        The best kit of these; None if there is none.
    memory : RowMemory
        As `find_candidates` takes it.

    Returns
    -------
    Candidates or None
        None if no chart was left out that can lead.

    Raises
    ------
    OutOfTime
        If there is no time left.
    """
    brief, rows = candidates.brief, memory.without_places()
    of_category = CategoryRows(catalogue, brief, thin=True, memory=rows)
    charts = of_category.admitted("chart")
    if charts is None or candidates.unavailable_keeps:
        return None
    others = ~among(charts.table["sku"], [chart.sku for chart in candidates.charts])
    if found is not None:
        first = weighed_points(found, candidates)
        others &= charts.table["quality"] >= _least_quality(first, candidates)
    possible = of_category.charts_of_kept_thread() if others.any() else None
    if possible is not None:
        others &= possible
    if not others.any():
        return None
    return find_candidates(
        catalogue,
        brief,
        thin=True,
        memory=rows,
        within=brief.total_cap,
        charts=lambda _: others,
        time_limit=time_limit,
    )


def _charts(rows: CategoryRows) -> AdmittedRows | None:
    """Return the charts of a shop if there are very many; None if all are to be candidates."""
    brief = rows.brief
    # A limit may bar charts, and where colours are free, each chart takes long.
    if not brief.buys("chart") or brief.limits or brief.shades.free:
        return None
    if brief.need("chart").have or not brief.need("chart").weight:
        return None
    charts = rows.admitted("chart")
    return charts if charts is not None and len(charts) > _MANY else None


def _promising(charts: AdmittedRows, rows: CategoryRows) -> Mask:
    """Return some charts that count much for about what kits with them cost."""
    cost = charts.table["price"]
    threads = rows.admitted("thread") if rows.brief.buys("thread") else None
    if threads is not None and len(threads):
        cost = cost + charts.colour_counts * np.median(threads.table["price"])
    worth = charts.table["quality"] / _MOST_POINTS - cost / max(1, rows.brief.total_cap)
    mask = np.zeros(len(charts), dtype=bool)
    mask[np.argsort(-worth, kind="stable")[:_FIRST]] = True
    return mask


def _reached(candidates: Candidates, solver: Solver, time_limit: TimeLimit) -> Fraction | None:
    """Return the first figure of a kit, in weighed points; None if none is quickly found."""
    if candidates.tied:
        return None
    with suppress(OutOfTime):
        found = by_chart(candidates, solver, time_limit)
        return None if found is None else weighed_points(found.selection, candidates)
    return None


def _least_quality(first: Fraction, candidates: Candidates) -> int:
    """Return the quality below which a chart is in no kit of a first figure, in hundredths."""
    return ceil((first - _most_beside_chart(candidates)) / candidates.weights["chart"])


def _most_beside_chart(candidates: Candidates) -> int:
    """Return what all but the chart counts at most, whatever it costs, in weighed points."""
    extras: dict[str, int] = {}
    for extra in candidates.extras:
        extras[extra.category] = max(extra.points, extras.get(extra.category, 0))
    best = {
        need: max((row.points for row in candidates.needs[need]), default=0)
        for need in candidates.weights
        if need != "chart"
    }
    needs = sum(candidates.weights[need] * points for need, points in best.items())
    return needs + share(candidates) * sum(extras.values())
