"""Other kits that come close: each the best of those that differ enough from the ones before.

The kits that differ from a given one fall into overlapping subspaces: those with another chart, and
those with the same chart and something else changed. Each subspace is a search of its own. The best
kit of the best subspace comes next if it differs from all that came before; else its subspace is
divided by the kit that it is too much like.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import combinations, count
from typing import Any, NamedTuple

from kitsolver.brief.brief import Brief
from kitsolver.brief.validate_against import validate_against
from kitsolver.explain.changed import comparison_key, keeping, leaving_out
from kitsolver.explain.proven import Unproven, proven
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.showing import ShowsItself
from kitsolver.shop.skipped import NOT_COUNTED, RowCounts
from kitsolver.solve.audited import audited
from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.subproblems import Subproblems
from kitsolver.solve.engine import Solver
from kitsolver.solve.figures import Figures
from kitsolver.solve.kit import kit_of
from kitsolver.solve.outcome import Kit
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.search_result import Progress
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

# Skus of one kit: another that has none of them is different enough.
Way = frozenset[str]
Ways = Callable[[Kit], Sequence[Way]]


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
    search = _Search(catalogue, brief, solver, time_limit)
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
            return Others(brief, tuple(kits), complete=False)
        so_far = audited(early.found.selection, search.whole, catalogue)
        return Others(brief, (so_far,), complete=False, bound=early.found.bound)
    except OutOfTime:
        if not kits:
            raise
        return Others(brief, tuple(kits), False, catalogue.row_counts)
    return Others(brief, tuple(kits), True, catalogue.row_counts)


class _Subspace(NamedTuple):
    """A subspace of all kits: without some skus, and with one chart if one is named."""

    left_out: frozenset[str] = frozenset()
    charts_left_out: frozenset[str] = frozenset()
    chart: str = ""


class _SubspaceBest(NamedTuple):
    """A kit, its choice, and what that was chosen from."""

    kit: Kit
    selection: Selection
    candidates: Candidates


class _Search:
    """Finds the best kit of subspaces, and remembers what they have in common."""

    def __init__(
        self, catalogue: Catalogue, brief: Brief, solver: Solver, time_limit: TimeLimit
    ) -> None:
        self.catalogue, self.brief, self.solver, self.time_limit = (
            catalogue,
            brief,
            solver,
            time_limit,
        )
        self._known: dict[tuple[frozenset[str], str], tuple[Candidates, Subproblems]] = {}

    @property
    def whole(self) -> Candidates:
        """What every kit is chosen from."""
        return self._choices(frozenset(), "")[0]

    @property
    def counted(self) -> list[str]:
        """The needs in which kits can differ: what is bought, but no matched thread."""
        candidates = self.whole
        shaded = {"thread"} if candidates.matches_thread else set()
        return [need for need in self.brief.holds if need in set(candidates.weights) - shaded]

    def best(self, subspace: _Subspace) -> _SubspaceBest | None:
        """Return the best kit of a subspace, not yet audited; None if it has none.

        Raises
        ------
        OutOfTime
            If that is not known in time.
        """
        candidates, charts = self._choices(subspace.left_out, subspace.chart)
        selection = proven(
            candidates, self.solver, self.time_limit, charts=charts, but=subspace.charts_left_out
        )
        if selection is None:
            return None
        return _SubspaceBest(kit_of(selection, candidates, self.catalogue), selection, candidates)

    def _choices(self, left_out: frozenset[str], chart: str) -> tuple[Candidates, Subproblems]:
        key = left_out, chart
        if key not in self._known:
            self.time_limit.check()
            asked = leaving_out(self.brief, left_out)
            asked = keeping(asked, [chart]) if chart else asked
            whole = self._known.get((frozenset(), ""))
            candidates = find_candidates(self.catalogue, asked, thin=True, known=whole and whole[0])
            spendable = candidates.most_goods(asked.total_cap)
            self._known[key] = candidates, Subproblems(candidates, spendable, spendable)
        return self._known[key]


def _needs(brief: Brief, counted: Sequence[str], apart: int | None) -> Ways:
    """Return the ways in which kits differ by what they hold for needs."""
    rest = [need for need in counted if need != "chart"]
    named: list[tuple[str, ...]] = list(combinations(counted, apart or 0))
    if apart is None:
        named = [("chart",)] if "chart" in counted else []
        named += combinations(rest, 2)

    def ways(kit: Kit) -> list[Way]:
        held = {line.category: line.sku for line in kit.lines if line.role == "need"}
        # What a kit takes from home it holds no line for, and could not be left out of others.
        found = (
            frozenset(held[need] for need in needs) for needs in named if set(needs) <= set(held)
        )
        return [way for way in found if not way & set(brief.choose.keep)]

    return ways


def _any_line(brief: Brief) -> Ways:
    """Return the ways in which kits differ by any line."""

    def ways(kit: Kit) -> list[Way]:
        return [frozenset({line.sku}) for line in kit.lines if line.sku not in brief.choose.keep]

    return ways


def _in_order(search: _Search, ways: Ways, tied: bool) -> Iterator[Kit]:
    """Yield kits, best first, each different enough from all before it."""
    first = search.best(_Subspace())
    if first is None:
        return
    best = first.kit
    order = count()
    heap: list[tuple[Any, int, _Subspace, _SubspaceBest]] = []
    seen: set[_Subspace] = set()

    def divide(subspace: _Subspace, kit: Kit) -> None:
        """Search what is left of a subspace without all that is too much like a kit."""
        for smaller in _smaller(subspace, kit, ways):
            if smaller in seen:
                continue
            seen.add(smaller)
            found = search.best(smaller)
            if found is None:
                continue
            before, paid, after = comparison_key(found.kit.figures)
            if tied and before < comparison_key(best.figures)[0]:
                continue
            rank = tuple(-figure for figure in before), -paid, -after, found.kit.order
            heappush(heap, (rank, next(order), smaller, found))

    yield audited(first.selection, first.candidates, search.catalogue)
    yielded = [best]
    divide(_Subspace(), best)
    while heap:
        *_, subspace, found = heappop(heap)
        alike = next((one for one in yielded if not _differs(found.kit, one, ways)), None)
        if alike is None:
            yield audited(found.selection, found.candidates, search.catalogue)
            yielded.append(found.kit)
        divide(subspace, alike or found.kit)


def _differs(kit: Kit, other: Kit, ways: Ways) -> bool:
    held = {line.sku for line in kit.lines}
    return any(not way & held for way in ways(other))


def _smaller(subspace: _Subspace, kit: Kit, ways: Ways) -> Iterator[_Subspace]:
    """Yield subspaces of a subspace that hold all its kits that differ enough from a kit."""
    charts = {line.sku for line in kit.lines if line.category == "chart" and line.role == "need"}
    other_chart = bool(subspace.chart) and subspace.chart not in charts
    for way in ways(kit):
        rest = subspace.left_out | (way - charts)
        if charts & way and not subspace.chart:
            yield _Subspace(rest, subspace.charts_left_out | charts)
        elif charts & way and other_chart:
            yield subspace._replace(left_out=rest)
        elif not charts & way and not other_chart:
            # Kits with another chart are in a subspace without this one.
            yield _Subspace(rest, chart=next(iter(charts), subspace.chart))
