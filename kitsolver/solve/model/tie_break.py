"""Ties: what would be a smaller kit among those that are equal in every figure.

Kits equal in every figure are told apart by their sorted list of (sku, units), then by the places
of thread in chart order; the smaller one is taken.
"""

from __future__ import annotations

from itertools import pairwise

from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.model.kit_model import KitModel, Linear
from kitsolver.solve.tally import tally


def ask_for_smaller(model: KitModel, selection: Selection) -> None:
    """Constrain a model to kits smaller than `selection`.

    Notes
    -----
    Exactly one way of being smaller holds: a list that agrees up to a place and has a smaller
    line there; a list that agrees and ends there; or the same list with places that agree up to
    a chart colour and have a smaller place there.
    """
    lines = sorted(model.lines)
    mine = sorted(tally(selection, model.candidates).units.items())
    at = [-1, *(lines.index(line) for line in mine)]
    between = [
        [model.lines[line] for line in lines[low + 1 : high]]
        for low, high in pairwise([*at, len(lines)])
    ]
    held = [model.lines[line] for line in mine]
    ways = []

    def agree(way: Linear, upto: int) -> None:
        """If `way` holds, the first `upto` lines are mine, with no other among them."""
        for line in held[:upto]:
            model.add(None, line >= way)
        for others in between[:upto]:
            if others:
                model.add(None, model.total(others) <= len(others) * (1 - way))

    for place in range(len(mine)):
        ways.append(way := model.flag())
        agree(way, place)
        model.add(None, model.total(between[place]) >= way)
        ways.append(way := model.flag())
        agree(way, place)
        rest = [*held[place:], *(line for others in between[place:] for line in others)]
        model.add(None, model.total(rest) <= len(rest) * (1 - way))
    # Colours that stand for each other are told apart later on.
    groups = model.places.get(selection.chart, {})
    colours = {number: givens for group, givens in groups.items() for number in group.colours}
    alone = len(colours) == len(groups)
    for number, place_mine in enumerate(selection.places if alone else ()):
        ways.append(way := model.flag())
        agree(way, len(mine))
        if between[-1]:
            model.add(None, model.total(between[-1]) <= len(between[-1]) * (1 - way))
        for before, same in enumerate(selection.places[:number]):
            held_by = (g.taken for g in colours[before] if g.place.key == same.key)
            model.add(None, model.total(held_by) >= way)
        smaller = (g.taken for g in colours[number] if g.place.key < place_mine.key)
        model.add(None, model.total(smaller) >= way)
    model.add(None, model.total(ways) == 1)
