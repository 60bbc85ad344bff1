"""What colours demand of each other in the one model: contrast, and dark to light as charted."""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from ortools.math_opt.python import mathopt

from kitsolver.craft.colour import lightness
from kitsolver.solve import rules
from kitsolver.solve.candidates.candidate import Chart
from kitsolver.solve.model.colour_groups import Group, cliques, too_alike

if TYPE_CHECKING:
    from kitsolver.solve.model.kit_model import KitModel

Variable = Any  # a variable of MathOpt, which ships no types


def demand_contrast(model: KitModel) -> None:
    """Have shades differ from each other and from the cloth, and stay in order."""
    shades = model.candidates.brief.shades
    if not shades.off_cloth and not model.candidates.free:
        return
    given: dict[str, list[Variable]] = defaultdict(list)
    for groups in model.given.values():
        for givens in groups.values():
            for one in givens:
                given[one.place.colour].append(one.taken)
    colours = list(given)
    if shades.apart:
        for alike in cliques(too_alike(colours, colours, shades.apart)):
            model.rule(rules.CONTRAST, _sum(v for n in alike for v in given[colours[n]]) <= 1)
        for same in given.values():
            model.rule(rules.CONTRAST, _sum(same) <= 1)
    cloth: dict[str, list[Variable]] = defaultdict(list)
    for (fabric, _), taken in model.fabrics.items():
        if fabric.colour:
            cloth[fabric.colour].append(taken)
    most = max((len(chart.shades or ()) for chart in model.charts), default=0)
    for own, taken in cloth.items():
        (hidden,) = too_alike([own], colours, shades.off_cloth) if colours else [[]]
        lost = [colour for colour, is_lost in zip(colours, hidden, strict=True) if is_lost]
        places = _sum(var for colour in lost for var in given[colour])
        model.rule(rules.CONTRAST, places <= most * (1 - _sum(taken)))
    if model.candidates.free and shades.keep_values:
        for chart in model.given:
            _keep_values(model, chart)


def _keep_values(model: KitModel, chart: Chart) -> None:
    """Have no layer of a chart's colours take a place darker than one of the layer before."""
    groups = model.given[chart]
    places = {one.place for givens in groups.values() for one in givens}
    light = dict(zip(places, lightness([p.colour for p in places]).tolist(), strict=True))
    rank = {value: number for number, value in enumerate(sorted(set(light.values())))}

    def by_rank(layer: list[Group]) -> list[tuple[int, Variable]]:
        return [(rank[light[one.place]], one.taken) for group in layer for one in groups[group]]

    for darker, lighter in pairwise(model.layers[chart]):
        # 1 up to how light the darker layer may be, and 0 beyond.
        upto = [model.model.add_variable(lb=0, ub=1) for _ in rank]
        for one, next_ in pairwise(upto):
            model.rule(rules.CONTRAST, next_ <= one)
        for number, taken in by_rank(darker):
            model.rule(rules.CONTRAST, taken <= upto[number])
        for number, taken in by_rank(lighter):
            if number + 1 < len(upto):
                model.rule(rules.CONTRAST, taken <= 1 - upto[number + 1])


def _sum(terms: Any) -> Any:
    return mathopt.LinearSum(list(terms))
