"""Other kits that come close: each the best of those that differ enough from the ones before.

The kits that differ from a given one fall into overlapping subspaces: those with another chart, and
those with the same chart and something else changed. Each has an upper bound, and is searched once
no other one has a higher bound or a better kit. The best kit found comes next if it differs enough
from all that came before. Then its subspace is divided by that kit, or by the one that it is too
much like.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from heapq import heappop, heappush
from itertools import combinations, count
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.brief.validate_against import validate_against
from kitsolver.explain.proven import Unproven
from kitsolver.explain.subspaces import Subspace, SubspaceBest, SubspaceSearch
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.showing import ShowsItself
from kitsolver.shop.skipped import NOT_COUNTED, RowCounts
from kitsolver.solve.audited import audited
from kitsolver.solve.engine import Solver
from kitsolver.solve.figures import Figures
from kitsolver.solve.outcome import Kit
from kitsolver.solve.search_result import Progress
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

# Skus of one kit: another that has none of them is different enough.
Way = frozenset[str]
Ways = Callable[[SubspaceBest], Sequence[Way]]


@dataclass(frozen=True)
class Others(ShowsItself):
    """Kits, the best first.

    Parameters
    ----------
    kits : tuple of Kit
        The first is the best kit; empty if there is none.
    complete : bool
        Whether time did not run out before as many were found as asked for.
    row_counts : RowCounts
        The rows of the catalogue that it was found among, and those that were skipped.
    bound : Figures or None
        What no kit beats, where time ran out before the first kit was proven best; else None.
    """

    brief: Brief
    kits: tuple[Kit, ...]
    complete: bool
    row_counts: RowCounts = NOT_COUNTED
    bound: Figures | None = None


def others(
    catalogue: Catalogue,
    brief: Brief,
    number: int = 3,
    *,
    apart: int | None = None,
    tied: bool = False,
    solver: Solver = Solver.SCIP,
    seconds: float | None = None,
    progress: Progress | None = None,
    validated: bool = False,
) -> Others:
    """Return the best kit and others that differ from it and from each other, best first.

    Each is proven best of those that differ enough from all before it.

    Parameters
    ----------
    catalogue : Catalogue
        What is for sale.
    brief : Brief
        What is asked.
    number : int
        How many others; there may be fewer.
    apart : int, optional
        In how many needs kits have to differ. If left out: in the chart, or in two other needs.
        Thread that is matched to a chart follows from it and does not count.
    tied : bool
        Whether only kits as good in quality and extras are wanted; they differ in any line.
    solver : Solver
        The mixed-integer solver for charts that are too large for frontiers.
    seconds : float, optional
        Time limit. When it passes, the kits found by then are returned; if the best kit is not
        proven by then, it is the best found so far.
    progress : callable, optional
        Told how many kits are known, and how many are asked for.
    validated : bool
        Whether the brief was held against the catalogue before, so that it need not be again.

    Raises
    ------
    BadInput
        If the brief names what the catalogue does not have.
    OutOfTime
        If the time limit passed before any kit was found.
    AuditFailed, SolverFault
        If the program is at fault.
    """
    time_limit = TimeLimit(seconds)
    if not validated:
        validate_against(brief, catalogue)
    told = progress or (lambda *_: None)
    search = SubspaceSearch(catalogue, brief, solver, time_limit)
    ways = _any_line(brief) if tied else _needs(brief, search.counted, apart)
    kits: list[Kit] = []
    found = _in_order(search, ways, tied)
    try:
        for kit in found:
            kits.append(kit)
            told(len(kits), number + 1)
            if len(kits) > number:
                break
    except Unproven as early:
        if kits:
            return Others(brief, tuple(kits), False, catalogue.row_counts)
        so_far = audited(early.found.selection, search.whole, catalogue)
        bound = early.found.bound
        return Others(brief, (so_far,), False, catalogue.row_counts, bound)
    except OutOfTime:
        if not kits:
            raise
        return Others(brief, tuple(kits), False, catalogue.row_counts)
    return Others(brief, tuple(kits), True, catalogue.row_counts)


def _needs(brief: Brief, counted: Sequence[str], apart: int | None) -> Ways:
    """Return the ways in which kits differ by what they hold for needs."""
    rest = [need for need in counted if need != "chart"]
    named: list[tuple[str, ...]] = list(combinations(counted, apart or 0))
    if apart is None:
        named = [("chart",)] if "chart" in counted else []
        named += combinations(rest, 2)

    def ways(kit: SubspaceBest) -> list[Way]:
        # What a kit takes from home it holds no row for, and could not be left out of others.
        found = (
            frozenset(kit.needs[need] for need in needs)
            for needs in named
            if set(needs) <= kit.needs.keys()
        )
        return [way for way in found if not way & set(brief.choose.keep)]

    return ways


def _any_line(brief: Brief) -> Ways:
    """Return the ways in which kits differ by any line."""

    def ways(kit: SubspaceBest) -> list[Way]:
        return [frozenset({sku}) for sku in sorted(kit.held) if sku not in brief.choose.keep]

    return ways


def _in_order(search: SubspaceSearch, ways: Ways, tied: bool) -> Iterator[Kit]:
    """Yield kits, best first, each different enough from all before it."""
    best = search.best(Subspace())
    if best is None:
        return
    order = count()
    # Subspaces whose best kit is not known yet come by their bound, before kits as good.
    heap: list[tuple[Any, int, Subspace, SubspaceBest | None]] = []
    seen: set[Subspace] = set()

    def divide(subspace: Subspace, kit: SubspaceBest, known: Fraction) -> None:
        """Take what is left of a subspace without all that is too much like a kit."""
        for smaller in _smaller(subspace, kit, ways):
            if smaller in seen:
                continue
            seen.add(smaller)
            most = search.most(smaller, known)
            if most is not None and not (tied and most < best.first):
                heappush(heap, ((-most, 0), next(order), smaller, None))

    yield audited(best.selection, best.candidates, search.catalogue)
    yielded = [best]
    divide(Subspace(), best, best.first)
    while heap:
        *_, subspace, found = heappop(heap)
        if found is None:
            found = search.best(subspace)
            if found is not None and not (tied and found.before < best.before):
                heappush(heap, (found.rank, next(order), subspace, found))
            continue
        alike = next((one for one in yielded if not _differs(found, one, ways)), None)
        if alike is None:
            yield audited(found.selection, found.candidates, search.catalogue)
            yielded.append(found)
        divide(subspace, alike or found, found.first)


def _differs(kit: SubspaceBest, other: SubspaceBest, ways: Ways) -> bool:
    return any(not way & kit.held for way in ways(other))


def _smaller(subspace: Subspace, kit: SubspaceBest, ways: Ways) -> Iterator[Subspace]:
    """Yield subspaces of a subspace that hold all its kits that differ enough from a kit."""
    charts = {kit.needs["chart"]} if "chart" in kit.needs else set[str]()
    other_chart = bool(subspace.chart) and subspace.chart not in charts
    for way in ways(kit):
        rest = subspace.left_out | (way - charts)
        if charts & way and not subspace.chart:
            yield Subspace(rest, subspace.charts_left_out | charts)
        elif charts & way and other_chart:
            yield subspace._replace(left_out=rest)
        elif not charts & way and not other_chart:
            # Kits with another chart are in a subspace without this one.
            yield Subspace(rest, chart=next(iter(charts), subspace.chart))
