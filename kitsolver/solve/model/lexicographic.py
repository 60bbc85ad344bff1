"""Lexicographic search in one model: one figure after the other, each held at its best value."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import replace
from fractions import Fraction
from math import isfinite
from typing import Any

from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.engine import Solver
from kitsolver.solve.figures import figures, objectives, outer_bound, unit_of
from kitsolver.solve.model.kit_model import build_kit_model
from kitsolver.solve.model.solver import Run, SolverFault, run
from kitsolver.solve.model.tie_break import ask_for_smaller
from kitsolver.solve.model.timed_model import Linear
from kitsolver.solve.search_result import Progress, SearchResult
from kitsolver.solve.tally import Tally, tally
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

# Weights of up to so many whole parts enter the model as they are; more are scaled down.
_PARTS = 10**4
# The error of sums of so many parts in floating point is far below this.
_ROUNDING_ERROR = Fraction(1, 10**6)


class LexicographicSearch:
    """A model with its incumbent: the best selection found so far, and the bounds proven.

    Each step optimises one figure and constrains the model to its best value.

    Raises
    ------
    OutOfTime
        If the time limit passes while the model is built.
    """

    def __init__(
        self,
        candidates: Candidates,
        solver: Solver,
        time_limit: TimeLimit,
        cap: int,
        *,
        distinct_colours: bool = False,
    ) -> None:
        # Which of many colours are far enough from each other CP-SAT finds out by far the quickest.
        quickest = Solver.CP_SAT if candidates.free and solver is Solver.SCIP else solver
        self.candidates, self.solver, self.time_limit, self.cap = (
            candidates,
            quickest,
            time_limit,
            cap,
        )
        self.till = candidates.brief.exact_till
        self.model = build_kit_model(
            candidates, cap, distinct_colours=distinct_colours, time_limit=time_limit
        )
        self.selection: Selection | None = None
        self.finished = True
        self.bound = outer_bound(candidates)

    def through(self, steps: list[Callable[[], None]], progress: Progress) -> SearchResult | None:
        """Take the steps in order, as far as time allows; None if there is no kit.

        Raises
        ------
        OutOfTime
            If the time limit passed before any selection was found.
        """
        for number, step in enumerate(steps):
            progress(number, len(steps))
            try:
                step()
            except OutOfTime:
                # It passed while the question was put to the model.
                self.finished = False
            if self.selection is None or not self.finished:
                break
        progress(len(steps), len(steps))
        if self.selection is None and not self.finished:
            raise OutOfTime
        if self.selection is None:
            return None
        if self.finished:
            self.bound = figures(self.sums, self.candidates)
        return SearchResult(self.selection, self.bound, self.finished)

    @property
    def order(self) -> list[Callable[[], None]]:
        """The steps to the best selection."""
        steps = [self.steps[name] for name in objectives(self.candidates.brief)]
        return steps if self.candidates.many_colours else [*steps, self.smallest]

    @property
    def steps(self) -> dict[str, Callable[[], None]]:
        """By figure the step that finds its best value and holds it."""
        return {
            "quality": self.quality,
            "extras": self.extras,
            "together": self.together,
            "payable": self.pay_least,
        }

    def hold(self, skus: Collection[str]) -> None:
        """Maximise the lines of some skus less the extras beside them, and hold that number."""
        lines = self.model.lines.items()
        kept = self.model.total(taken for (sku, _), taken in lines if sku in skus)
        new = self.model.total(
            taken for extra, taken in self.model.extras.items() if extra.sku not in skus
        )
        self._ask(kept - new, maximize=True, gap=Fraction(1, 2))
        if self.selection is not None and self.finished:
            taken = set(self.sums.units)
            others = sum(extra.sku not in skus for extra in self.selection.extras)
            self.model.add(None, kept - new >= len(taken & set(skus)) - others - 0.5)

    @property
    def sums(self) -> Tally:
        """The incumbent, added up."""
        assert self.selection is not None
        return tally(self.selection, self.candidates)

    @property
    def payable(self) -> int:
        """What is paid for the incumbent, in minor units."""
        return self.sums.receipt.payable

    @property
    def step(self) -> Fraction:
        """The least by which two kits can differ in weighed points."""
        if not self.candidates.matches_thread:
            return Fraction(1)
        colours = {len(chart.shades or ()) for chart in self.candidates.charts}
        return Fraction(1, max(colours, default=1) ** min(2, len(colours)))

    @property
    def scale(self) -> Fraction:
        """The scale of weighed points: weights of many decimals must not drown in rounding."""
        parts = sum(self.candidates.weights.values()) + self.candidates.parts
        return min(Fraction(1), Fraction(_PARTS, parts))

    @property
    def weighed(self) -> Linear:
        """The first figure in weighed points, scaled."""
        quality = float(self.scale) * self.model.quality
        if not self.candidates.brief.extras.together:
            return quality
        share = Fraction(self.candidates.brief.extras.weight) * self.candidates.parts
        return quality + float(share * self.scale) * self.model.extra_points

    def reach(self, at_least: Fraction, at_most: Fraction | None = None) -> None:
        """Constrain the model to selections with at least so much of the first figure.

        Parameters
        ----------
        at_most : Fraction, optional
            What no selection goes beyond, if that is known.
        """
        tolerance = _tolerance(self.step * self.scale)
        self.model.add(None, self.weighed >= float(at_least * self.scale - tolerance))
        if at_most is not None:
            self.model.add(None, self.weighed <= float(at_most * self.scale + tolerance))

    def reach_more(self, first: Fraction, extras: int) -> None:
        """Constrain the model to more of the first figure, or to as much of it and more extras.

        Parameters
        ----------
        first : Fraction
            A value that the first figure may have, in weighed points.
        extras : int
            In hundredths.
        """
        step, more = self.step * self.scale, self.model.flag()
        at_least = float(first * self.scale - _tolerance(step))
        self.model.add(None, self.weighed >= at_least + float(step) * more)
        # In whole numbers: with halves beside `more`, SCIP cut off kits that there are.
        self.model.add(None, self.model.extra_points >= (extras + 1) * (1 - more))

    def quality(self) -> None:
        """Maximise quality, and hold it."""
        weights = max(1, sum(self.candidates.weights.values()))
        quality = float(self.scale) * self.model.quality
        self._maximise("quality", quality, 100 * weights * self.scale, self.step * self.scale)

    def extras(self) -> None:
        """Maximise extras, and hold them."""
        if self.candidates.extras:
            self._maximise("extras", self.model.extra_points, Fraction(100), Fraction(1))

    def together(self) -> None:
        """Maximise the weighed sum of quality and extras, and hold it."""
        unit = unit_of(self.candidates) * self.scale
        self._maximise("together", self.weighed, unit, self.step * self.scale)

    def _maximise(self, figure: str, weighed: Linear, unit: Fraction, step: Fraction) -> None:
        """Maximise a figure, and constrain the model to its best value.

        Parameters
        ----------
        weighed : linear expression
            The figure times `unit`.
        step : Fraction
            The least by which kits differ in `weighed`: half of it is tolerance enough.

        Raises
        ------
        SolverFault
            If the solver finds nothing, though there is an incumbent.
        """
        held, before = self.selection, self._figure(figure)
        ended = self._ask(weighed, maximize=True, gap=step / 2)
        if held is not None and ended.finished and ended.values is None:
            raise SolverFault(f"{self.solver} lost the kit in hand")
        if before is not None and before > (self._figure(figure) or 0):
            # Stopped by the time limit, the solver may return less than the incumbent.
            self.selection = held
        value = self._figure(figure)
        if value is None:
            return
        closer: dict[str, Any] = {}
        if ended.finished:
            closer = {figure: value}
        elif isfinite(ended.bound):
            bound = min(getattr(self.bound, figure), Fraction(ended.bound) / unit)
            closer = {figure: max(value, bound)}
        self.bound = replace(self.bound, **closer)
        self.model.add(None, weighed >= float(value * unit - _tolerance(step)))

    def _figure(self, name: str) -> Fraction | None:
        """Return a figure of the incumbent; None without one."""
        if self.selection is None:
            return None
        value: Fraction = getattr(figures(self.sums, self.candidates), name)
        return value

    def pay_least(self) -> None:
        """Minimise what is payable, in each interval of goods totals, and hold it."""
        if not self.model.intervals:
            self._pay_least_by_row()
            return
        for spent, within in self.model.intervals.items():
            held = self.selection
            if held and self.till.payable(spent[0]) >= self.payable:
                continue
            paid = self.payable if held else None
            within.lower_bound = 1
            self._ask(self.model.goods, maximize=False, gap=Fraction(1, 2))
            within.lower_bound = 0
            if paid is not None and self.payable > paid:
                self.selection = held
            if not self.finished:
                return
        if self.selection is not None:
            self.bound = replace(self.bound, payable=self.payable)
            self.model.goods_within(None, self.till.paying(self.payable))

    def _pay_least_by_row(self) -> None:
        held, paid = self.selection, self.payable if self.selection else None
        self._ask(self.model.payable, maximize=False, gap=Fraction(1, 2))
        if paid is not None and self.payable > paid:
            self.selection = held
        if self.finished and self.selection is not None:
            self.bound = replace(self.bound, payable=self.payable)
            self.model.add(None, self.model.payable <= self.payable + 0.5)

    def any(self) -> None:
        """Find a selection, whichever it is."""
        self._ask(None, maximize=True, gap=Fraction(0))

    def smallest(self) -> None:
        """Break ties: go to a smaller kit while there is one."""
        while self.finished:
            assert self.selection is not None
            ask_for_smaller(self.model, self.selection)
            if self._ask(None, maximize=True, gap=Fraction(0)).values is None:
                return

    def _ask(self, figure: Linear | None, *, maximize: bool, gap: Fraction) -> Run:
        """Run the solver; its selection, if any, becomes the incumbent."""
        model = self.model.model
        if figure is None:
            model.maximize(0.0)
        elif maximize:
            model.maximize(figure)
        else:
            model.minimize(figure)
        ended = run(model, self.solver, self.time_limit, float(gap))
        self.finished = ended.finished
        if ended.values is not None:
            self.selection = self.model.selection(ended.values)
            if self.payable > self.cap:
                raise SolverFault(f"{self.solver} went over the cap")
        return ended


def _tolerance(step: Fraction) -> Fraction:
    """Return the tolerance of a held figure: half a step, or the error of floating point."""
    return max(step / 2, _ROUNDING_ERROR)
