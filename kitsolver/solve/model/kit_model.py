"""The whole problem as one mixed-integer model: its definition.

Binary variables say which chart, which fabric in how many units, which row of each other need,
which extras are taken; which place of thread colours which chart colour with how many skeins; and
how many of each pack a pool buys. Each rule adds its own constraints (`kitsolver.solve.rules`).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from fractions import Fraction

from ortools.math_opt.python import mathopt

from kitsolver.shop.till import Interval
from kitsolver.solve.candidates.candidate import Candidate, Chart, Fabric, Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.model.colour_groups import Group, Layers, in_chart_order, layers
from kitsolver.solve.model.thread_variables import (
    PlaceVariable,
    ThreadRow,
    place_variables,
    thread_row,
)
from kitsolver.solve.model.timed_model import Linear, TimedModel, Variable
from kitsolver.solve.rules import RULES, units_with
from kitsolver.solve.rules.rule import Rule
from kitsolver.solve.time_limit import TimeLimit


def build_kit_model(
    candidates: Candidates,
    cap: int,
    *,
    distinct_colours: bool = False,
    into: mathopt.Model | None = None,
    time_limit: TimeLimit | None = None,
) -> KitModel:
    """Return the model of one brief.

    Parameters
    ----------
    candidates : Candidates
        What is chosen from.
    cap : int
        In minor units.
    distinct_colours : bool
        Whether free colours get variables of their own even where they are interchangeable.
    into : mathopt.Model, optional
        The model to build into, which may hold other kits; a new one if left out.
    time_limit : TimeLimit, optional
        Within which the model is built, and all that is added to it later.

    Raises
    ------
    OutOfTime
        If the time limit passes meanwhile.
    """
    model = KitModel(candidates, cap, into or mathopt.Model(name="kit"), time_limit or TimeLimit())
    model.add_charts()
    model.add_fabrics()
    model.add_plain_needs()
    model.add_places(distinct_colours)
    model.add_thread_rows()
    model.add_extras()
    for rule in RULES:
        rule.constrain(model)
    return model


class KitModel(TimedModel):
    """The variables of the model of one brief, and what they mean.

    Attributes
    ----------
    candidates : Candidates
        What is chosen from.
    cap : int
        In minor units.
    lines : dict of (str, int) to linear expression
        By sku and units, what is 1 if that line is in the kit.
    rows, costs : dict
        Of each line its candidate, and its cost in minor units.
    charts, fabrics, plain, extras : dict
        By chart, by fabric and units, by row of every other need and by extra: 1 if it is taken.
    charts_taking : dict
        Of each fabric and its units the charts that take as many.
    counts : list of Fraction or None
        The effective counts of the fabrics.
    layers : dict
        By chart its colours in groups, from dark to light where that is to be kept.
    places : dict
        By chart and group of its colours the places that it may be given.
    intervals : dict
        By interval of goods totals, what is 1 if the total lies in it.
    payable : linear expression or None
        What is paid, or more, where the goods total does not say it.
    """

    def __init__(
        self, candidates: Candidates, cap: int, model: mathopt.Model, time_limit: TimeLimit
    ) -> None:
        super().__init__(model, time_limit)
        self.candidates, self.cap = candidates, cap
        self.lines: dict[tuple[str, int], Linear] = {}
        self.rows: dict[tuple[str, int], Candidate] = {}
        self.costs: dict[tuple[str, int], int] = {}
        self.charts: dict[Chart, Variable] = {}
        self.fabrics: dict[tuple[Fabric, int], Variable] = {}
        self.charts_taking: dict[tuple[Fabric, int], list[Chart]] = {}
        self.plain: dict[Candidate, Variable] = {}
        self.extras: dict[Candidate, Variable] = {}
        counts = {fabric.count for fabric in candidates.fabrics}
        self.counts: list[Fraction | None] = sorted(counts, key=lambda count: count or 0)
        self.layers: dict[Chart, Layers] = {}
        self.places: dict[Chart, dict[Group, list[PlaceVariable]]] = {}
        self.thread_rows: list[ThreadRow] = []
        self.intervals: dict[Interval, Variable] = {}
        self.payable: Linear = None

    # Variables

    def add_charts(self) -> None:
        """Add which chart is taken."""
        self.charts = {chart: self._taken(chart, chart.units) for chart in self.candidates.charts}

    def add_fabrics(self) -> None:
        """Add which fabric is taken in how many units, as the charts ask of it."""
        taking: dict[tuple[Fabric, int], list[Chart]] = defaultdict(list)
        for fabric in self.candidates.fabrics:
            for chart in self.charts:
                units = units_with(chart, fabric, self.candidates.brief)
                if units is not None:
                    taking[fabric, units].append(chart)
        self.charts_taking = dict(taking)
        self.fabrics = {(fabric, units): self._taken(fabric, units) for fabric, units in taking}

    def add_plain_needs(self) -> None:
        """Add which row of every other need is taken."""
        needs = self.candidates.needs
        rows = (row for need in self.candidates.plain_needs for row in needs[need])
        self.plain = {row: self._taken(row, row.units) for row in rows}

    def add_extras(self) -> None:
        """Add which extras are taken."""
        self.extras = {extra: self._taken(extra, extra.units) for extra in self.candidates.extras}

    def add_places(self, distinct_colours: bool) -> None:
        """Add which place each group of a chart's colours is given."""
        if not self.candidates.matches_thread:
            return
        for chart in self.charts:
            self.layers[chart] = layers(
                chart, self.candidates, self.counts, distinct=distinct_colours
            )
            places = self.candidates.places(chart)
            self.places[chart] = {
                group: [
                    variable
                    for place in places[group.colours[0]]
                    for variable in place_variables(self, place, group)
                ]
                for layer in self.layers[chart]
                for group in layer
            }

    def add_thread_rows(self) -> None:
        """Add how many skeins of each thread row a pool buys: for a single as the place takes."""
        by_place: dict[tuple[str, int], list[PlaceVariable]] = defaultdict(list)
        for groups in self.places.values():
            for variables in groups.values():
                for one in variables:
                    by_place[one.place.key].append(one)
        by_sku: dict[str, list[list[PlaceVariable]]] = defaultdict(list)
        for (sku, _), places in by_place.items():
            by_sku[sku].append(places)
        for places_of_row in by_sku.values():
            self.thread_rows.append(thread_row(self, places_of_row))

    def _taken(self, candidate: Candidate, units: int) -> Variable:
        variable = self.flag()
        self.add_line(candidate, units, variable)
        return variable

    def add_line(self, candidate: Candidate, units: int, taken: Linear) -> None:
        """Add what is 1 if so many units of a row are a line of the kit; none for home."""
        if candidate.sku:
            self.lines[candidate.sku, units] = taken
            self.rows[candidate.sku, units] = candidate
            self.costs[candidate.sku, units] = candidate.cost_of(units)

    # What rules speak of

    @property
    def rows_by_themselves(self) -> Iterator[tuple[Candidate, Variable]]:
        """Every row that is taken as it is, as a need or an extra."""
        yield from self.plain.items()
        yield from self.extras.items()

    @property
    def taken(self) -> Iterator[tuple[Candidate, Linear]]:
        """Every candidate, from home too, with what is 1 if it is in the kit; no single shades."""
        yield from self.charts.items()
        of_fabric: dict[Fabric, list[Variable]] = defaultdict(list)
        for (fabric, _), variable in self.fabrics.items():
            of_fabric[fabric].append(variable)
        yield from ((fabric, self.total(each)) for fabric, each in of_fabric.items())
        yield from self.rows_by_themselves
        for row in self.thread_rows:
            if row.thread.sku:
                yield row.thread, self.total(row.bought.values())

    def at_count(self, count: Fraction | None) -> Linear:
        """Return what is 1 if the fabric's effective count is `count`."""
        return self.total(var for (fabric, _), var in self.fabrics.items() if fabric.count == count)

    @property
    def goods(self) -> Linear:
        """The goods total in minor units."""
        return self.total(self.costs[line] * taken for line, taken in self.lines.items())

    @property
    def goods_of_everything(self) -> int:
        """What all lines cost together, in minor units: no kit's goods come to more."""
        return sum(self.costs.values())

    def goods_within(self, rule: Rule | None, within: list[Interval]) -> dict[Interval, Variable]:
        """Keep the goods total in one of some intervals; return what is 1 if it is in which."""
        flags = {interval: self.flag() for interval in within}
        low = self.total(low * flag for (low, _), flag in flags.items())
        high = self.total(high * flag for (_, high), flag in flags.items())
        for holds in (self.total(flags.values()) == 1, self.goods >= low, self.goods <= high):
            self.add(rule, holds)
        return flags

    # Figures

    @property
    def quality(self) -> Linear:
        """The weighed points of the needs, in hundredths times the candidates' parts."""
        terms: list[Linear] = []
        for need, weight in self.candidates.weights.items():
            if need == "thread" and self.candidates.matches_thread:
                for chart, groups in self.places.items():
                    share = weight / max(1, len(chart.shades or ()))
                    terms += [share * v.place.points * v.taken for g in groups.values() for v in g]
                continue
            pool: Iterable[tuple[Candidate, Variable]] = self.plain.items()
            if need == "chart":
                pool = self.charts.items()
            if need == "fabric":
                pool = ((fabric, taken) for (fabric, _), taken in self.fabrics.items())
            terms += [weight * row.points * taken for row, taken in pool if row.category == need]
        return self.total(terms)

    @property
    def extra_points(self) -> Linear:
        """The points of the extras, in hundredths."""
        return self.total(extra.points * taken for extra, taken in self.extras.items())

    def selection(self, values: dict[Variable, float]) -> Selection:
        """Return the selection that a solution's values stand for."""

        def is_taken(variable: Variable) -> bool:
            return values[variable] > 0.5

        fabrics = ((fabric, taken) for (fabric, _), taken in self.fabrics.items())
        pool = (*self.charts.items(), *fabrics, *self.plain.items())
        needs: dict[str, Candidate] = {row.category: row for row, var in pool if is_taken(var)}
        extras = tuple(extra for extra, var in self.extras.items() if is_taken(var))
        chart = needs["chart"]
        assert isinstance(chart, Chart)
        places = [
            (group, [one.place for one in variables if is_taken(one.taken)])
            for group, variables in self.places.get(chart, {}).items()
        ]
        return Selection(needs, tuple(in_chart_order(places, self.candidates)), extras)
