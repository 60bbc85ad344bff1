"""Upper bounds that charge for what limits add up, beside money.

A limit says that a sum over the lines comes to no more than a figure. Times a rate, and added to
the cap, it says that what the goods cost, and the rate times what they count, come to no more than
the goods total that may be spent, and the rate times the figure. Every kit that keeps to cap and
limit keeps to that, whatever the rate (a surrogate constraint; Glover 1965, recalled from memory).
So the same goods at such *surrogate prices* are a relaxation, in which nothing but money ties
choices. Its upper bounds hold, and the multiplier of money is one for the limit as well. Some rates
are tried, and the closest bound counts.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from math import floor
from typing import TypeVar

from kitsolver.brief.own_rules import Limit
from kitsolver.solve.candidates.candidate import Candidate
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.objective import objective_of
from kitsolver.solve.decomposition.subproblem import Subproblem
from kitsolver.solve.decomposition.subproblems import with_chart
from kitsolver.solve.decomposition.upper_bound import UpperBounds
from kitsolver.solve.rules.limits import bounds_of, measure_of
from kitsolver.solve.time_limit import TimeLimit

# Surrogate prices are such that about so much may be spent.
_SPENDABLE = 2**18
# How much the whole figure of a limit weighs, beside the money that may be spent: from next to
# nothing to so much that money hardly counts. At 0 nothing is charged for it.
_POWERS = (-6, -4, -2, -1, 0, 1, 2, 4, 6, 9, 12)
_RATES = (Fraction(0), *(Fraction(2) ** power for power in _POWERS))
# The numbers of the rates that are tried where nothing is charged yet.
_FIRST = (3, 6, 8, 10)
# For each limit the number of its rate.
Chosen = tuple[int, ...]

_Row = TypeVar("_Row", bound=Candidate)


class Surrogates:
    """The surrogate problems of some candidates, at rates that are found chart by chart.

    Parameters
    ----------
    candidates : Candidates
        With any number of charts.
    spendable : int
        A goods total that no kit exceeds, in minor units.
    """

    def __init__(self, candidates: Candidates, spendable: int) -> None:
        self._candidates, self._spendable = candidates, spendable
        self._limits = [limit for limit in candidates.brief.limits if _grows(limit, candidates)]
        self._known: dict[Chosen, SurrogateProblem] = {}
        self._used: set[Chosen] = set()
        # The rates at which the last chart was bounded closest.
        self._chosen: Chosen = (0,) * len(self._limits)

    def __bool__(self) -> bool:
        """Tell whether there is a limit that can be charged for."""
        return bool(self._limits)

    def unused_bounds(self, time_limit: TimeLimit) -> Iterator[tuple[int, Fraction]]:
        """Yield upper bounds of all charts at the last rates, by number; below zero if no kit.

        Nothing is yielded for rates for which it was before.

        Raises
        ------
        OutOfTime
            If there is no time left.
        """
        if self.problem is not None and self._chosen not in self._used:
            self._used.add(self._chosen)
            yield from enumerate(self.problem.upper_bounds(time_limit))

    @property
    def problem(self) -> SurrogateProblem | None:
        """The problem at the rates at which the last chart was bounded closest; None at first."""
        return self._at(self._chosen) if any(self._chosen) else None

    def upper_bound(self, number: int, known: Fraction, time_limit: TimeLimit) -> Fraction | None:
        """Return an upper bound of a chart, by its number, at the rates that bound it closest.

        Parameters
        ----------
        known : Fraction
            A bound of the chart, in weighed points.

        Returns
        -------
        Fraction or None
            None if no kit holds the chart.

        Raises
        ------
        StateLimitReached, OutOfTime
            As `kitsolver.solve.decomposition.frontier.sum_of` does.
        """
        least = known
        if self.problem is not None:
            bound = self.problem.upper_bound(number, time_limit)
            if bound is None:
                return None
            least = min(least, bound)
        for place in range(len(self._limits)):
            for rates in self._tries(place):
                # Each further rate is tried only while bounds become closer.
                for other in rates:
                    bound = self._at(other).upper_bound(number, time_limit)
                    if bound is None:
                        self._chosen = other
                        return None
                    if bound >= least:
                        break
                    least, self._chosen = bound, other
        return least

    def _tries(self, place: int) -> Iterator[Iterator[Chosen]]:
        """Yield runs of rates to try for a limit, from the rates that were chosen last."""
        if not self._chosen[place]:
            for rate in _FIRST:
                yield iter([self._with(place, rate)])
        rate = self._chosen[place]
        yield (self._with(place, higher) for higher in range(rate + 1, len(_RATES)))
        yield (self._with(place, lower) for lower in range(rate - 1, 0, -1))

    def _with(self, place: int, rate: int) -> Chosen:
        return (*self._chosen[:place], rate, *self._chosen[place + 1 :])

    def _at(self, chosen: Chosen) -> SurrogateProblem:
        if chosen not in self._known:
            rates = [_RATES[number] for number in chosen]
            self._known[chosen] = SurrogateProblem(
                self._candidates, self._spendable, dict(zip(self._limits, rates, strict=True))
            )
        return self._known[chosen]


class SurrogateProblem:
    """The candidates at the surrogate prices of some rates.

    Parameters
    ----------
    candidates : Candidates
        At their own prices.
    spendable : int
        A goods total that no kit exceeds, in minor units.
    rates : dict of Limit to Fraction
        How much the whole figure of each limit weighs, beside the money that may be spent.
    """

    def __init__(
        self, candidates: Candidates, spendable: int, rates: dict[Limit, Fraction]
    ) -> None:
        most = {limit: bounds_of(limit, candidates.brief)[1] or Fraction(0) for limit in rates}
        money = _SPENDABLE / (1 + sum(rates.values(), Fraction(0)))
        # What is charged for a minor unit, and for a unit of each sum.
        self._price = money / max(1, spendable)
        self._charges = {
            limit: rate * money / (most[limit] or 1) for limit, rate in rates.items() if rate
        }
        figures = (each * most[limit] for limit, each in self._charges.items())
        self._spendable = floor(self._price * spendable + sum(figures, Fraction(0)))
        self._candidates = self._at_surrogate_prices(candidates)

    def upper_bounds(self, time_limit: TimeLimit) -> list[Fraction]:
        """Return bounds of all charts, in weighed points; below zero where no kit holds the chart.

        Raises
        ------
        OutOfTime
            If there is no time left.
        """
        bounds = UpperBounds(
            self._candidates, self._spendable, self._spendable, time_limit=time_limit
        )
        return [bounds.figure(at, n) for n, at in enumerate(bounds.at(self._spendable).tolist())]

    def upper_bound(self, number: int, time_limit: TimeLimit) -> Fraction | None:
        """Return a chart's upper bound from its own subproblem; None if no kit holds it.

        Raises
        ------
        StateLimitReached, OutOfTime
            As `kitsolver.solve.decomposition.frontier.sum_of` does.
        """
        alone = with_chart(self._candidates, self._candidates.charts[number])
        subproblem = Subproblem(alone, objective_of(alone), self._spendable, time_limit, gap=False)
        return subproblem.upper_bound(self._spendable, time_limit)

    def _at_surrogate_prices(self, candidates: Candidates) -> Candidates:
        needs = {
            need: tuple(self._charged(row, elastic=_is_elastic(need, candidates)) for row in rows)
            for need, rows in candidates.needs.items()
        }
        near = candidates.near.of(lambda thread: self._charged(thread, elastic=True))
        extras = tuple(self._charged(extra, elastic=False) for extra in candidates.extras)
        return replace(candidates, needs=needs, near=near, extras=extras)

    def _charged(self, row: _Row, *, elastic: bool) -> _Row:
        """Return a row at its surrogate price, which is rounded down.

        Units that are at home cost nothing here either, which charges less than there is to pay.
        """
        if not row.sku:
            return row
        charge = self._price * row.price
        for limit, each in self._charges.items():
            counted = row.measure(measure_of(limit))
            if limit.column is not None:
                charge += each * counted
            elif not elastic:
                # A line counts once, whatever its units.
                charge += each * counted / max(1, row.units)
        # No kit holds what costs more than may be spent, and sums of it stay small.
        return replace(row, price=min(floor(charge), 2 * _SPENDABLE))


def _grows(limit: Limit, candidates: Candidates) -> bool:
    """Tell whether a limit has a most, and no line counts less than nothing."""
    rows = (*candidates.extras, *(row for some in candidates.needs.values() for row in some))
    return limit.most is not None and all(
        row.measure(measure_of(limit)) >= 0 for row in rows if row.sku
    )


def _is_elastic(need: str, candidates: Candidates) -> bool:
    """Tell whether the units of a need's rows depend on other choices."""
    return need == "fabric" or (need == "thread" and candidates.matches_thread)
