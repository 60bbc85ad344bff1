"""An opened chart: what was found in it, and its best selection by all figures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any, NamedTuple

from kitsolver.solve.candidates.candidate import Candidate, Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.chart_frontier import Breakpoint, best_breakpoint
from kitsolver.solve.engine import Solver
from kitsolver.solve.figures import figures, unit_of
from kitsolver.solve.rules import RULES
from kitsolver.solve.search_result import SearchResult
from kitsolver.solve.tally import tally
from kitsolver.solve.time_limit import TimeLimit


class OpenedChart(NamedTuple):
    """An opened chart with the most of its first figure, in weighed points.

    `tops` are the breakpoints of that value, or `peak` is what a solver found where the chart is a
    model; `whole` if it is through all figures already.
    """

    value: Fraction
    candidates: Candidates
    tops: Sequence[Breakpoint] = ()
    peak: SearchResult | None = None
    whole: bool = False

    @property
    def bound(self) -> Fraction:
        """What no kit with the chart beats, in weighed points."""
        if self.peak is None:
            return self.value
        bound = self.peak.bound
        most = bound.quality if bound.together is None else bound.together
        return max(self.value, most * unit_of(self.candidates))

    @property
    def selection(self) -> Selection:
        """A selection of that value."""
        return self.peak.selection if self.peak else best_breakpoint(self.tops).selection

    def final(self, solver: Solver, time_limit: TimeLimit) -> SearchResult | None:
        """Return the chart's best selection by all figures."""
        if self.peak and self.whole:
            return self.peak
        if self.peak:
            from kitsolver.solve.model import questions

            first = self.value if self.peak.proven else None
            return questions.best(self.candidates, solver, time_limit, first=first)
        selection = self.selection
        sums = figures(tally(selection, self.candidates), self.candidates)
        return SearchResult(selection, sums, proven=True)


def kept(selection: Selection, candidates: Candidates) -> bool:
    """Tell whether a selection of a frontier keeps to the rules that frontiers do not know."""
    sums = tally(selection, candidates)
    return all(rule.holds(sums, candidates) for rule in RULES if rule.name in candidates.tied_by)


def as_offered(selection: Selection, candidates: Candidates) -> Selection:
    """Return a selection at other prices as one of the candidates themselves."""
    offered = {(row.category, row.sku): row for row in candidates.rows}

    def row(other: Candidate) -> Any:
        return offered[other.category, other.sku]

    return Selection(
        needs={need: row(one) for need, one in selection.needs.items()},
        places=tuple(replace(place, thread=row(place.thread)) for place in selection.places),
        extras=tuple(row(extra) for extra in selection.extras),
    )


def without_extras(candidates: Candidates) -> Candidates:
    """Leave the extras out where they can do nothing for the first figure."""
    brief = candidates.brief
    kept = any(extra.sku in brief.choose.keep for extra in candidates.extras)
    useful = brief.extras.together or kept or brief.exact_till.has_gap or brief.may_need_extras
    return candidates if useful else replace(candidates, extras=())


def worthless(candidates: Candidates) -> Candidates:
    """Return candidates of which nothing but money counts."""
    return replace(
        candidates,
        weights=dict.fromkeys(candidates.weights, 0),
        extras=tuple(replace(extra, points=0) for extra in candidates.extras),
    )


def rank(selection: Selection, candidates: Candidates) -> tuple[Any, ...]:
    """Return what kits are compared by, with the tie-break: less is better."""
    sums = tally(selection, candidates)
    before, unpaid, after = figures(sums, candidates).order
    ties = sorted(sums.units.items()), [place.key for place in selection.places]
    return tuple(-figure for figure in before), -unpaid, -after, *ties
