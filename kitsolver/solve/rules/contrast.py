"""Shades differ from the cloth and, where colours are free, from each other."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from kitsolver.craft.colour import lightness, too_alike
from kitsolver.shop.distinct import distinct
from kitsolver.solve.candidates.candidate import Chart
from kitsolver.solve.rules.rule import Dominance, Rows, Rule

if TYPE_CHECKING:
    from kitsolver.solve.candidates.candidates import Candidates
    from kitsolver.solve.model.colour_groups import Group
    from kitsolver.solve.model.kit_model import KitModel
    from kitsolver.solve.model.timed_model import Variable


class Contrast(Rule):
    """`shades.on_cloth`, and with free colours `shades.contrast` and `shades.keep_values`."""

    name = "contrast"
    sentence = (
        "Shades differ as asked from the cloth and, where colours are free, from each other, dark "
        "to light as charted."
    )

    def dominance(self, rows: Rows) -> Dominance:
        """Compare fabrics of one colour."""
        if rows.category != "fabric" or not rows.need or not rows.brief.shades.cloth_contrast:
            return Dominance()
        return Dominance(equal=(distinct(rows.table["colours"])[0],))

    def ties(self, candidates: Candidates) -> bool:
        """Free colours that keep no order are tied to each other.

        In order they are walked through (`kitsolver.solve.decomposition.free.walk`), and cloth of
        each colour has thread of its own (`kitsolver.solve.decomposition.thread.parts`).
        """
        shades = candidates.brief.shades
        return candidates.free and not shades.keep_values and shades.least_contrast > 0

    def constrain(self, model: KitModel) -> None:
        """Keep thread colours apart from each other and from the cloth, and in order."""
        shades = model.candidates.brief.shades
        if not shades.cloth_contrast and not model.candidates.free:
            return
        by_colour: dict[str, list[Variable]] = defaultdict(list)
        for groups in model.places.values():
            for variables in groups.values():
                for one in variables:
                    by_colour[one.place.colour].append(one.taken)
        if shades.least_contrast:
            self._keep_apart(model, by_colour, shades.least_contrast)
        self._keep_off_cloth(model, by_colour, shades.cloth_contrast)
        if model.candidates.free and shades.keep_values:
            for chart in model.places:
                self._keep_values(model, chart)

    def _keep_apart(
        self, model: KitModel, by_colour: dict[str, list[Variable]], least: int
    ) -> None:
        """Take at most one of the thread colours that differ by less than `least`."""
        colours = list(by_colour)
        for alike in cliques(too_alike(colours, colours, least)):
            taken = (variable for number in alike for variable in by_colour[colours[number]])
            model.add(self, model.total(taken) <= 1)
        for same in by_colour.values():
            model.add(self, model.total(same) <= 1)

    def _keep_off_cloth(
        self, model: KitModel, by_colour: dict[str, list[Variable]], least: int
    ) -> None:
        """Take no thread colour that differs from the chosen cloth by less than `least`."""
        colours = list(by_colour)
        cloth: dict[str, list[Variable]] = defaultdict(list)
        for (fabric, _), taken in model.fabrics.items():
            if fabric.colour:
                cloth[fabric.colour].append(taken)
        most = max((len(chart.shades or ()) for chart in model.charts), default=0)
        for own, chosen in cloth.items():
            (alike,) = too_alike([own], colours, least) if colours else [[]]
            lost = [colour for colour, is_lost in zip(colours, alike, strict=True) if is_lost]
            taken = model.total(variable for colour in lost for variable in by_colour[colour])
            model.add(self, taken <= most * (1 - model.total(chosen)))

    def _keep_values(self, model: KitModel, chart: Chart) -> None:
        """Give no layer of a chart's colours a place darker than one of the layer before."""
        groups = model.places[chart]
        places = {one.place for variables in groups.values() for one in variables}
        light = dict(zip(places, lightness([p.colour for p in places]).tolist(), strict=True))
        rank = {value: number for number, value in enumerate(sorted(set(light.values())))}

        def by_rank(layer: list[Group]) -> list[tuple[int, Any]]:
            return [(rank[light[one.place]], one.taken) for group in layer for one in groups[group]]

        for darker, lighter in pairwise(model.layers[chart]):
            # 1 up to how light the darker layer may be, and 0 beyond.
            upto = [model.fraction() for _ in rank]
            for one, next_ in pairwise(upto):
                model.add(self, next_ <= one)
            for number, taken in by_rank(darker):
                model.add(self, taken <= upto[number])
            for number, taken in by_rank(lighter):
                if number + 1 < len(upto):
                    model.add(self, taken <= 1 - upto[number + 1])


def cliques(alike: NDArray[np.bool_]) -> Iterator[list[int]]:
    """Yield sets of which every two are alike, such that every two alike share a set.

    One constraint for each says much more to a solver than one for each pair.
    """
    alike = alike & ~np.eye(len(alike), dtype=bool)
    left = np.triu(alike)
    for one in range(len(alike)):
        while left[one].any():
            clique = [one]
            common = alike[one].copy()
            while common.any():
                # Pairs that are not yet said come first.
                fresh = common & left[one]
                nearest = int(np.flatnonzero(fresh if fresh.any() else common)[0])
                clique.append(nearest)
                common &= alike[nearest]
            members = np.array(sorted(clique))
            left[np.ix_(members, members)] = False
            yield members.tolist()
