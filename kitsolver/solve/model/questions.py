"""The best kit in the order of its figures, one figure after the other, then the smallest."""

from __future__ import annotations

from collections.abc import Collection
from contextlib import suppress
from dataclasses import replace
from fractions import Fraction
from math import floor

from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.engine import Solver
from kitsolver.solve.figures import objectives
from kitsolver.solve.model.colour_groups import dark_to_light
from kitsolver.solve.model.lexicographic import LexicographicSearch
from kitsolver.solve.rules import RULES
from kitsolver.solve.search_result import Progress, SearchResult
from kitsolver.solve.tally import tally
from kitsolver.solve.time_limit import OutOfTime, TimeLimit


def best(
    candidates: Candidates,
    solver: Solver = Solver.SCIP,
    time_limit: TimeLimit | None = None,
    progress: Progress | None = None,
    *,
    first: Fraction | None = None,
) -> SearchResult | None:
    """Return the proven best selection, or the best found in time; None if there is none.

    Parameters
    ----------
    first : Fraction, optional
        The most of the first figure, in weighed points, where it is known.

    Raises
    ------
    OutOfTime
        If the time limit passed before any selection was found.
    SolverFault
        If the solver failed, or answered with something that breaks a rule.
    """
    if candidates.infeasible:
        return None
    time_limit = time_limit or TimeLimit()
    ordered = None
    if candidates.many_colours and candidates.brief.shades.keep_values:
        ordered = _dark_to_light(candidates, solver, time_limit)
        if ordered is not None and (ordered.proven or time_limit.left == 0):
            return ordered
    try:
        search = LexicographicSearch(candidates, solver, time_limit, candidates.brief.total_cap)
        if first is not None:
            search.reach(first, at_most=first)
        found = search.through(search.order, progress or (lambda *_: None))
    except OutOfTime:
        if ordered is None:
            raise
        return ordered
    if found is None or not found.proven or not candidates.free or candidates.many_colours:
        return found
    return _distinct(found, candidates, solver, time_limit)


def _dark_to_light(
    candidates: Candidates, solver: Solver, time_limit: TimeLimit
) -> SearchResult | None:
    """Return a selection of many free colours, found in any order and then put in order.

    Without the order from dark to light the problem is a relaxation. So if the best selection of
    the relaxation is paid for alike once its places are put in order, it is the best one in order.
    None if in order it breaks a rule.
    """
    shades = candidates.brief.shades.model_copy(update={"keep_values": False})
    any_order = replace(candidates, brief=candidates.brief.model_copy(update={"shades": shades}))
    found = None
    with suppress(OutOfTime):
        search = LexicographicSearch(any_order, solver, time_limit, candidates.brief.total_cap)
        found = search.through(search.order, lambda *_: None)
    if found is None:
        return None
    selection = replace(found.selection, places=dark_to_light(found.selection, candidates))
    before, after = tally(found.selection, candidates), tally(selection, candidates)
    if not all(rule.holds(after, candidates) for rule in RULES):
        return None
    proven = found.proven and before.receipt == after.receipt
    return replace(found, selection=selection, proven=proven)


def _distinct(
    found: SearchResult, candidates: Candidates, solver: Solver, time_limit: TimeLimit
) -> SearchResult:
    """Break ties among the kits of the same lines, each colour with variables of its own."""
    rows = candidates.only(tally(found.selection, candidates).units)
    with suppress(OutOfTime):
        search = LexicographicSearch(
            rows, solver, time_limit, candidates.brief.total_cap, distinct_colours=True
        )
        if again := search.through(search.order, lambda *_: None):
            return replace(found, selection=again.selection, proven=again.proven)
    return replace(found, proven=False)


def peak(
    candidates: Candidates, solver: Solver, time_limit: TimeLimit, at_least: Fraction | None
) -> SearchResult | None:
    """Return a selection with the most of the first figure; None if there is none.

    Parameters
    ----------
    at_least : Fraction, optional
        In weighed points: selections below it are left out.

    Raises
    ------
    OutOfTime, SolverFault
        As `best` does.
    """
    search = LexicographicSearch(candidates, solver, time_limit, candidates.brief.total_cap)
    if at_least is not None:
        search.reach(at_least)
    return search.through([search.steps[objectives(candidates.brief)[0]]], lambda *_: None)


def cheapest(
    candidates: Candidates, cap: int, solver: Solver, time_limit: TimeLimit
) -> SearchResult | None:
    """Return the selection for which least is paid; None if none is within a cap.

    Raises
    ------
    OutOfTime, SolverFault
        As `best` does.
    """
    search = LexicographicSearch(candidates, solver, time_limit, cap)
    return search.through([search.pay_least], lambda *_: None)


def within(
    candidates: Candidates, cap: int, solver: Solver, time_limit: TimeLimit
) -> SearchResult | None:
    """Return any selection within a cap; None if there is none.

    Raises
    ------
    OutOfTime, SolverFault
        As `best` does.
    """
    search = LexicographicSearch(candidates, solver, time_limit, cap)
    return search.through([search.any], lambda *_: None)


def cheapest_better(
    candidates: Candidates,
    solver: Solver,
    time_limit: TimeLimit,
    cap: int,
    first: Fraction,
    extras: int | None,
) -> SearchResult | None:
    """Return the selection within a cap for which least is paid of those that beat a kit.

    Parameters
    ----------
    candidates : Candidates
        With one chart.
    cap : int
        In minor units.
    first : Fraction
        The first figure of that kit, in weighed points.
    extras : int, optional
        Its extras in hundredths, if more of them are better where the first figure is equal.

    Raises
    ------
    OutOfTime, SolverFault
        As `best` does.
    """
    search = LexicographicSearch(candidates, solver, time_limit, cap)
    times = search.step.denominator
    # The first figure of the chart's kits is a multiple of the step.
    if extras is not None and (first * times).denominator == 1:
        search.reach_more(first, extras)
    else:
        search.reach(Fraction(floor(first * times) + 1, times))
    return search.through([search.pay_least], lambda *_: None)


def nearest(
    candidates: Candidates, held: Collection[str], solver: Solver, time_limit: TimeLimit
) -> tuple[SearchResult, int] | None:
    """Return the best selection of those that change fewest lines of a kit, and their number.

    A row of the kit that is not taken is a change, and so is an extra that comes.

    Parameters
    ----------
    held : collection of str
        The skus of the kit.

    Raises
    ------
    OutOfTime, SolverFault
        As `best` does.
    """
    if candidates.infeasible:
        return None
    search = LexicographicSearch(candidates, solver, time_limit, candidates.brief.total_cap)
    found = search.through([lambda: search.hold(held), *search.order], lambda *_: None)
    if found is None:
        return None
    taken = set(tally(found.selection, candidates).units)
    extras = {extra.sku for extra in found.selection.extras}
    return found, len(set(held) - taken) + len(extras - set(held))
