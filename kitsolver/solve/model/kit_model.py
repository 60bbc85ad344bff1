"""The whole problem as one mixed-integer model: the definition, plain to read.

Binary variables say which chart, which fabric in how many units, which row of each other need,
which extras are taken; which place colours which chart colour with how many skeins; and how many
of each pack a pool buys. Each rule of `kitsolver.solve.rules` gives its constraints its name.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property
from typing import Any, NamedTuple

from ortools.math_opt.python import mathopt

from kitsolver.craft.thread import Charted
from kitsolver.shop.till import Interval
from kitsolver.solve import rules
from kitsolver.solve.candidates.candidate import (
    Candidate,
    Chart,
    Fabric,
    Hoop,
    Needle,
    Place,
    Selection,
)
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.model.colour_groups import Group, Layers, in_chart_order, layers
from kitsolver.solve.model.contrast import demand_contrast
from kitsolver.solve.model.till_by_row import payable_by_row
from kitsolver.solve.tally import skeins

# More than any order: sums beyond it are refused on reading.
NO_CAP = 10**18

Variable = Any  # a variable of MathOpt, which ships no types
Linear = Any  # a variable, or a linear expression of variables, of MathOpt


class PlaceVariable(NamedTuple):
    """A place given to a group of chart colours, with the skeins it takes in each pool."""

    place: Place
    skeins: int
    taken: Variable


@dataclass(frozen=True)
class KitModel:
    """The model of one brief, and what its variables mean.

    Parameters
    ----------
    candidates : Candidates
        What is chosen from.
    cap : int
        In minor units.
    apart : bool
        Whether free colours are told apart even where they stand for each other.
    """

    candidates: Candidates
    cap: int
    apart: bool = False
    model: mathopt.Model = field(default_factory=lambda: mathopt.Model(name="kit"))
    # By (sku, units) what is 1 if that line is in the kit; its row; its cost in minor units.
    lines: dict[tuple[str, int], Linear] = field(default_factory=dict)
    rows: dict[tuple[str, int], Candidate] = field(default_factory=dict)
    costs: dict[tuple[str, int], int] = field(default_factory=dict)
    # By interval what is 1 if the goods total lies in it.
    within: dict[Interval, Variable] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._fit()
        self._needle()
        self._thread()
        demand_contrast(self)
        self._hoop()
        self._finishing()
        self._extras()
        self._keep()
        self._till()

    # What may be taken

    @cached_property
    def charts(self) -> dict[Chart, Variable]:
        """Which chart."""
        return {chart: self._taken(chart) for chart in self.candidates.charts}

    @cached_property
    def fabrics(self) -> dict[tuple[Fabric, int], Variable]:
        """Which fabric in how many units, as the charts ask of it."""
        brief = self.candidates.brief
        for_charts: dict[tuple[Fabric, int], list[Variable]] = defaultdict(list)
        for fabric in self.candidates.fabrics:
            for chart, taken in self.charts.items():
                units = rules.fabric_units(chart, fabric, brief)
                if units is not None and units <= fabric.stock:
                    for_charts[fabric, units].append(taken)
        found = {}
        for (fabric, units), charts in for_charts.items():
            found[fabric, units] = self._taken(fabric, units)
            self.rule(rules.FIT, found[fabric, units] <= total(charts))
        return found

    @cached_property
    def plain(self) -> dict[Candidate, Variable]:
        """Which row of every other need."""
        needs = self.candidates.needs
        return {o: self._taken(o) for need in self.candidates.plain_needs for o in needs[need]}

    @cached_property
    def extras(self) -> dict[Candidate, Variable]:
        """Which extras."""
        return {extra: self._taken(extra) for extra in self.candidates.extras}

    @cached_property
    def counts(self) -> list[Fraction | None]:
        """The effective counts that there are."""
        return sorted({fabric.count for fabric in self.candidates.fabrics}, key=lambda c: c or 0)

    @cached_property
    def layers(self) -> dict[Chart, Layers]:
        """By chart its colours in groups, from dark to light where that is to be kept."""
        if not self.candidates.shaded:
            return {}
        return {
            chart: layers(chart, self.candidates, self.counts, apart=self.apart)
            for chart in self.charts
        }

    @cached_property
    def given(self) -> dict[Chart, dict[Group, list[PlaceVariable]]]:
        """By chart, for each group of its colours, the places it may be given."""
        found: dict[Chart, dict[Group, list[PlaceVariable]]] = {}
        for chart, dark_to_light in self.layers.items():
            places = self.candidates.places(chart)
            found[chart] = {
                group: [
                    given
                    for place in places[group.colours[0]]
                    for given in self._given(place, group.asked, self.counts)
                ]
                for layer in dark_to_light
                for group in layer
            }
        return found

    def _given(
        self, place: Place, asked: Charted, counts: list[Fraction | None]
    ) -> list[PlaceVariable]:
        by_skeins: dict[int, list[Fraction | None]] = defaultdict(list)
        for count in counts:
            at_home = not place.thread.sku
            taken = 0 if at_home else skeins(place, asked, count, self.candidates)
            by_skeins[taken].append(count)
        pools, _ = rules.pools(self.candidates.brief)
        found = []
        for taken, at in by_skeins.items():
            if taken * pools <= place.thread.stock:
                found.append(PlaceVariable(place, taken, self.flag()))
                if len(at) < len(counts):
                    self.rule(rules.THREAD, found[-1].taken <= total(map(self._at, at)))
        return found

    # The rules

    def _fit(self) -> None:
        self.rule(rules.NEEDS, total(self.charts.values()) == 1)
        self.rule(rules.NEEDS, total(self.fabrics.values()) == 1)
        for need in self.candidates.plain_needs:
            rows = self.candidates.needs[need]
            self.rule(rules.NEEDS, total(self.plain[row] for row in rows) == 1)

    def _at(self, count: Fraction | None) -> Linear:
        """1 if the effective count is `count`."""
        return total(var for (fabric, _), var in self.fabrics.items() if fabric.count == count)

    def _needle(self) -> None:
        fit = self.candidates.brief.fit
        for candidate, taken in (*self.plain.items(), *self.extras.items()):
            if isinstance(candidate, Needle):
                suits = (
                    var
                    for (fabric, _), var in self.fabrics.items()
                    if rules.needle_suits(candidate, fabric.count, fit)
                )
                self.rule(rules.NEEDLE, taken <= total(suits))

    def _hoop(self) -> None:
        brief = self.candidates.brief
        for candidate in (*self.plain, *self.extras):
            if isinstance(candidate, Hoop):
                self._go_together(
                    rules.HOOP,
                    candidate,
                    lambda hoop, chart, fabric: rules.hoop_holds(
                        hoop, rules.widest_hoop(chart, fabric, brief)
                    ),
                )

    def _finishing(self) -> None:
        for candidate in (*self.plain, *self.extras):
            if candidate.opening is not None:
                self._go_together(
                    rules.FINISHING,
                    candidate,
                    lambda row, chart, fabric: rules.frames(row, chart, fabric.count),
                )

    def _go_together(
        self, rule: rules.Rule, candidate: Any, goes: Callable[[Any, Chart, Fabric], bool]
    ) -> None:
        """Have a row that is taken beside a chart lie on a fabric on which it goes with that."""
        taken = self.plain[candidate] if candidate in self.plain else self.extras[candidate]
        for chart, chosen in self.charts.items():
            fabrics = (
                var for (fabric, _), var in self.fabrics.items() if goes(candidate, chart, fabric)
            )
            self.rule(rule, taken + chosen <= 1 + total(fabrics))

    def _thread(self) -> None:
        places: dict[tuple[str, int], list[PlaceVariable]] = defaultdict(list)
        for chart, colours in self.given.items():
            for group, givens in colours.items():
                asked = len(group.colours) * self.charts[chart]
                self.rule(rules.THREAD, total(g.taken for g in givens) == asked)
                for given in givens:
                    places[given.place.key].append(given)
        rows: dict[str, list[tuple[str, int]]] = defaultdict(list)
        for key, givens in places.items():
            self.rule(rules.THREAD, total(given.taken for given in givens) <= 1)
            rows[key[0]].append(key)
        for sku, keys in rows.items():
            if sku:
                self._row([places[key] for key in keys])

    def _row(self, places: list[list[PlaceVariable]]) -> None:
        """Buy a thread row: as many a pool as the colour takes that needs most."""
        thread = places[0][0].place.thread
        pools, _ = rules.pools(self.candidates.brief)
        bought: dict[int, Linear] = {}
        for number in sorted({given.skeins for place in places for given in place}):
            needing = [
                [given.taken for given in place if given.skeins == number] for place in places
            ]
            if len(places) == 1:
                bought[number] = total(needing[0])
            else:
                bought[number] = self.flag()
                self.rule(rules.THREAD, bought[number] <= total(map(total, needing)))
            self._line(thread, number * pools, bought[number])
        if len(places) == 1:
            return
        self.rule(rules.THREAD, total(bought.values()) <= 1)
        for place in places:
            for number in bought:
                taken = [given.taken for given in place if given.skeins == number]
                enough = total(packs for size, packs in bought.items() if size >= number)
                if taken:
                    self.rule(rules.THREAD, total(taken) <= enough)

    def _extras(self) -> None:
        most = self.candidates.brief.extras.most
        for category in sorted({extra.category for extra in self.extras}):
            same = (var for extra, var in self.extras.items() if extra.category == category)
            self.rule(rules.EXTRAS, total(same) <= 1)
        if most is not None:
            self.rule(rules.EXTRAS, total(self.extras.values()) <= most)

    def _keep(self) -> None:
        for kept in sorted(set(self.candidates.brief.choose.keep)):
            lines = (taken for (sku, _), taken in self.lines.items() if sku == kept)
            self.rule(rules.KEEP, total(lines) == 1)

    def _till(self) -> None:
        # No kit costs more than everything: a higher bound would only blur the arithmetic.
        most = sum(self.costs.values())
        if self.candidates.taxed_apart or self.candidates.downloads:
            if self.cap < NO_CAP:
                self.rule(rules.CAP, self.payable <= self.cap)
        else:
            spent = self.candidates.brief.register.affordable(self.cap)
            within = [(low, min(high, most)) for low, high in spent if low <= most]
            self.within.update(self.spend(within))
        limit = self.candidates.brief.most_trade_cost
        if limit is not None:
            trade = (
                units * self.rows[sku, units].trade * taken
                for (sku, units), taken in self.lines.items()
            )
            self.rule(rules.MARGIN, total(trade) <= limit)

    @cached_property
    def payable(self) -> Linear:
        """What is paid, or more, where the goods total does not say it."""
        return payable_by_row(self, sum(self.costs.values()))

    def spend(self, spent: list[Interval]) -> dict[Interval, Variable]:
        """Have the goods total lie in one of some intervals; return which."""
        within = {interval: self.flag() for interval in spent}
        low = total(low * var for (low, _), var in within.items())
        high = total(high * var for (_, high), var in within.items())
        for holds in (total(within.values()) == 1, self.goods >= low, self.goods <= high):
            self.rule(rules.CAP, holds)
        return within

    # The figures

    @cached_property
    def goods(self) -> Linear:
        """The goods total in minor units."""
        return total(self.costs[line] * taken for line, taken in self.lines.items())

    @cached_property
    def quality(self) -> Linear:
        """The weighed points of the needs, in hundredths times the offers' parts."""
        terms: list[Linear] = []
        for need, weight in self.candidates.weights.items():
            if need == "thread" and self.candidates.shaded:
                for chart, groups in self.given.items():
                    share = weight / max(1, len(chart.shades or ()))
                    terms += [share * g.place.points * g.taken for c in groups.values() for g in c]
                continue
            pool: Iterable[tuple[Candidate, Variable]] = self.plain.items()
            if need == "chart":
                pool = self.charts.items()
            if need == "fabric":
                pool = ((fabric, taken) for (fabric, _), taken in self.fabrics.items())
            terms += [weight * o.points * taken for o, taken in pool if o.category == need]
        return total(terms)

    @cached_property
    def extra_points(self) -> Linear:
        """The points of the extras, in hundredths."""
        return total(extra.points * taken for extra, taken in self.extras.items())

    # Bricks

    def flag(self) -> Variable:
        """Return a new variable that is 0 or 1."""
        return self.model.add_binary_variable()

    def _taken(self, candidate: Candidate, units: int | None = None) -> Variable:
        variable = self.flag()
        self._line(candidate, candidate.units if units is None else units, variable)
        return variable

    def _line(self, candidate: Candidate, units: int, taken: Linear) -> None:
        if candidate.sku:
            self.lines[candidate.sku, units] = taken
            self.rows[candidate.sku, units] = candidate
            self.costs[candidate.sku, units] = units * candidate.price

    def rule(self, rule: rules.Rule, holds: mathopt.BoundedLinearTypes) -> None:
        """Add a constraint that a rule makes."""
        number = self.model.get_num_linear_constraints()
        self.model.add_linear_constraint(holds, name=f"{rule.name} {number}")

    def demand(self, holds: mathopt.BoundedLinearTypes) -> None:
        """Add a constraint that belongs to a question asked of the model, and to no rule."""
        self.model.add_linear_constraint(holds)

    def selection(self, values: dict[Variable, float]) -> Selection:
        """Return the choice that a solution's values stand for."""

        def is_taken(variable: Variable) -> bool:
            return values[variable] > 0.5

        fabrics = ((fabric, taken) for (fabric, _), taken in self.fabrics.items())
        pool = (*self.charts.items(), *fabrics, *self.plain.items())
        needs: dict[str, Candidate] = {o.category: o for o, taken in pool if is_taken(taken)}
        chosen = Selection(
            needs, extras=tuple(extra for extra, var in self.extras.items() if is_taken(var))
        )
        places = [
            (group, [given.place for given in givens if is_taken(given.taken)])
            for group, givens in self.given.get(chosen.chart, {}).items()
        ]
        return replace(chosen, places=tuple(in_chart_order(places, self.candidates)))


def total(terms: Iterable[Linear]) -> Linear:
    """Return the sum of variables and expressions, 0 for none."""
    return mathopt.LinearSum(list(terms))
