"""The best kit chart by chart: the same answer as the one model, the fast way.

The chart is what ties the rest together. Every chart has an upper bound (`upper_bound.py`), which
its subproblem makes closer (`subproblem.py`). The chart with the highest bound is opened for kits
that come within a step of it, or reach the best first figure found. If none does, the chart's
bound falls to what was looked for, and its next step is twice as long. The proof is done when no
bound is left that reaches the best. Charts that reach it are compared by all figures.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from fractions import Fraction

from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.branches import branches
from kitsolver.solve.decomposition.chart_search import ChartSearch
from kitsolver.solve.decomposition.opened_chart import rank
from kitsolver.solve.decomposition.subproblems import Subproblems
from kitsolver.solve.engine import Solver
from kitsolver.solve.figures import bound_by, weighed_points
from kitsolver.solve.search_result import Progress, SearchResult
from kitsolver.solve.time_limit import OutOfTime, TimeLimit


def by_chart(
    candidates: Candidates,
    solver: Solver = Solver.SCIP,
    time_limit: TimeLimit | None = None,
    progress: Progress | None = None,
    *,
    frontiers: bool = True,
    charts: Subproblems | None = None,
    but: Collection[str] = (),
    reached: Fraction | None = None,
) -> SearchResult | None:
    """Return the proven best selection, or the best found in time; None if there is none.

    Parameters
    ----------
    frontiers : bool
        Whether charts are opened as frontiers where that is the fast way; else each is a model
        for the solver.
    charts : Subproblems, optional
        Of the same candidates, if something is known of them already.
    but : collection of str
        Skus of charts that are passed over.
    reached : Fraction, optional
        The first figure, in weighed points, of a kit that is known from elsewhere: only kits that
        reach it are looked for.

    Raises
    ------
    OutOfTime, SolverFault
        As `kitsolver.solve.model.questions.best` does.
    """
    if candidates.infeasible:
        return None
    time_limit = time_limit or TimeLimit()
    parts = branches(candidates) if frontiers else None
    if parts is not None:
        return _best_of_branches(candidates, parts, solver, time_limit, progress, but, reached)
    spendable = candidates.most_goods(candidates.brief.total_cap)
    charts = charts or Subproblems(candidates, spendable, spendable, time_limit=time_limit)
    search = ChartSearch(candidates, charts, solver, time_limit, frontiers=frontiers, but=but)
    search.run(progress or (lambda *_: None), reached)
    return search.result()


def _best_of_branches(
    candidates: Candidates,
    parts: Sequence[Candidates],
    solver: Solver,
    time_limit: TimeLimit,
    progress: Progress | None,
    but: Collection[str],
    reached: Fraction | None,
) -> SearchResult | None:
    """Return the best selection of all branches; None if there is none."""
    spendable = candidates.most_goods(candidates.brief.total_cap)
    found, late = list[SearchResult](), False
    searches = [
        ChartSearch(
            part,
            Subproblems(part, spendable, spendable, time_limit=time_limit),
            solver,
            time_limit,
            frontiers=True,
            but=but,
        )
        for part in parts
    ]
    for search in sorted(searches, key=lambda search: -search.highest):
        search.run(progress or (lambda *_: None), reached)
        try:
            answer = search.result()
        except OutOfTime:
            late = True
            continue
        if answer is not None:
            found.append(answer)
            first = weighed_points(answer.selection, candidates)
            reached = max(first, reached or first)
    if not found:
        if late:
            raise OutOfTime
        return None
    best = min(found, key=lambda answer: rank(answer.selection, candidates))
    opened = min(len(candidates.charts), sum(len(search.opened) for search in searches))
    if late or not all(answer.proven for answer in found):
        highest = max(search.highest for search in searches)
        return replace(best, bound=bound_by(highest, candidates), proven=False, opened=opened)
    return replace(best, opened=opened)
