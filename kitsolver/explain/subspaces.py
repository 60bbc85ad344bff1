"""The best kit of a part of all kits: without some rows, and with one chart if one is named."""

from __future__ import annotations

from contextlib import suppress
from fractions import Fraction
from functools import cached_property
from typing import Any, NamedTuple

from kitsolver.brief.brief import Brief
from kitsolver.brief.choosing import keeping, leaving_out
from kitsolver.explain.proven import proven
from kitsolver.explain.row_bounds import RowBounds
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.subproblems import Subproblems, with_chart
from kitsolver.solve.engine import Solver
from kitsolver.solve.figures import Figures, figures, unit_of
from kitsolver.solve.presolve.find import find_candidates, with_dominated
from kitsolver.solve.tally import tally
from kitsolver.solve.time_limit import TimeLimit

# Rows are tried first with which the first figure may come within this part of the highest.
_STEP = Fraction(1, 1024)


class Subspace(NamedTuple):
    """A part of all kits: without some skus, and with one chart if one is named."""

    left_out: frozenset[str] = frozenset()
    charts_left_out: frozenset[str] = frozenset()
    chart: str = ""


class SubspaceBest:
    """The best choice of a subspace, and what it was chosen from."""

    def __init__(self, selection: Selection, candidates: Candidates) -> None:
        self.selection, self.candidates = selection, candidates
        sums = tally(selection, candidates)
        self.figures: Figures = figures(sums, candidates)
        self.units = sums.units

    @property
    def first(self) -> Fraction:
        """The first figure."""
        return self.before[0]

    @cached_property
    def held(self) -> frozenset[str]:
        """The skus of all rows."""
        return frozenset(self.units)

    @property
    def before(self) -> tuple[Fraction, ...]:
        """The figures that count before what is paid."""
        return self.figures.order[0]

    @property
    def rank(self) -> tuple[Any, ...]:
        """What kits are compared by, with the tie-break: less is better."""
        first, *rest = self.before
        _, unpaid, after = self.figures.order
        places = [place.key for place in self.selection.places]
        ties = sorted(self.units.items()), places
        return -first, 1, *(-figure for figure in rest), -unpaid, -after, *ties

    @property
    def needs(self) -> dict[str, str]:
        """The skus of rows for needs, of each need of which one row is chosen."""
        rows = self.selection.needs.items()
        return {need: row.sku for need, row in rows if row.sku}


class SubspaceSearch:
    """Finds the best choice of subspaces, and remembers what they have in common."""

    def __init__(
        self, catalogue: Catalogue, brief: Brief, solver: Solver, time_limit: TimeLimit
    ) -> None:
        self.catalogue, self.brief = catalogue, brief
        self.solver, self.time_limit = solver, time_limit
        self._known: dict[tuple[frozenset[str], str], tuple[Candidates, Subproblems]] = {}
        # By number of the chart.
        self._known_bounds: dict[int, RowBounds | None] = {}

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

    def best(self, subspace: Subspace) -> SubspaceBest | None:
        """Return the best choice of a subspace; None if it has none.

        Raises
        ------
        OutOfTime
            If that is not known in time.
        """
        bounds = self._row_bounds(subspace)
        if bounds is not None:
            return self._best_of_few(subspace, bounds)
        candidates, charts = self._choices(subspace.left_out, subspace.chart)
        return self._proven(candidates, charts, subspace.charts_left_out)

    def most(self, subspace: Subspace, known: Fraction) -> Fraction | None:
        """Return what the first figure of no kit of a subspace exceeds; None if it has no kit.

        Parameters
        ----------
        known : Fraction
            A bound that is known already.
        """
        bounds = self._row_bounds(subspace)
        if bounds is not None:
            most = bounds.most(subspace.left_out)
            return None if most is None else min(most, known)
        if subspace.chart:
            return known
        whole, charts = self._choices(frozenset(), "")
        at = charts.upper_bounds.at(whole.most_goods(self.brief.total_cap))
        figures_of = [
            charts.upper_bounds.figure(bound, number) / unit_of(whole)
            for number, (bound, chart) in enumerate(zip(at, whole.charts, strict=True))
            if bound >= 0 and chart.sku not in subspace.charts_left_out
        ]
        return min(max(figures_of), known) if figures_of else None

    def _best_of_few(self, subspace: Subspace, bounds: RowBounds) -> SubspaceBest | None:
        """Return the best choice, sought first among the rows that can come highest."""
        most, left_out = bounds.most(subspace.left_out), subspace.left_out
        if most is None:
            return None
        floor = most * (1 - _STEP)
        found = self._proven(bounds.reaching(floor, left_out))
        if found is not None and found.first >= floor:
            return found
        # Whatever is better than what was found has rows that reach as high.
        return self._proven(bounds.reaching(found.first if found else Fraction(0), left_out))

    def _proven(
        self,
        candidates: Candidates,
        charts: Subproblems | None = None,
        but: frozenset[str] = frozenset(),
    ) -> SubspaceBest | None:
        selection = proven(candidates, self.solver, self.time_limit, charts=charts, but=but)
        return None if selection is None else SubspaceBest(selection, candidates)

    def _choices(self, left_out: frozenset[str], chart: str) -> tuple[Candidates, Subproblems]:
        key = left_out, chart
        if key not in self._known:
            self.time_limit.check()
            asked = leaving_out(self.brief, left_out)
            asked = keeping(asked, [chart]) if chart else asked
            whole = self._known.get((frozenset(), ""))
            candidates = find_candidates(
                self.catalogue,
                asked,
                thin=True,
                known=whole and whole[0],
                time_limit=self.time_limit,
            )
            spendable = candidates.most_goods(asked.total_cap)
            charts = Subproblems(candidates, spendable, spendable, time_limit=self.time_limit)
            self._known[key] = candidates, charts
        return self._known[key]

    def _row_bounds(self, subspace: Subspace) -> RowBounds | None:
        """Return the bounds of a subspace with one chart, by rows; None where there are none."""
        whole, charts = self._choices(frozenset(), "")
        numbers = [n for n, c in enumerate(whole.charts) if subspace.chart in (c.sku, "")]
        if len(numbers) != 1 or whole.tied or not subspace.left_out <= self._bounded:
            return None
        (number,) = numbers
        if number not in self._known_bounds:
            self._known_bounds[number] = None
            with suppress(StateLimitReached):
                subproblem = charts.subproblem(number, charts.most, self.time_limit)
                candidates = with_chart(self._rows, whole.charts[number])
                if RowBounds.possible(candidates, subproblem):
                    self._known_bounds[number] = RowBounds(candidates, subproblem)
        return self._known_bounds[number]

    @cached_property
    def _bounded(self) -> frozenset[str]:
        """The skus of rows by which kits of one chart are bounded."""
        rows = self._rows
        needs = ("fabric", *rows.plain_needs)
        return frozenset(row.sku for need in needs for row in rows.needs[need])

    @cached_property
    def _rows(self) -> Candidates:
        """What every kit is chosen from, without leaving out dominated rows of needs."""
        needs = [need for need in self.counted if need != "chart"]
        return with_dominated(self.whole, needs, self.catalogue)
