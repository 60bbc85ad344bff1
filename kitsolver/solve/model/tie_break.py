"""The tie-break: constrains a model to kits that come before a given one.

Of kits that are equal in every figure the one with the smallest sorted list of (sku, units) is
taken, then the one with the smallest places of thread in chart order.
"""

from __future__ import annotations

from itertools import pairwise

from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.model.kit_model import KitModel
from kitsolver.solve.model.timed_model import Linear
from kitsolver.solve.tally import tally


def ask_for_smaller(model: KitModel, selection: Selection) -> None:
    """Constrain a model to kits that come before `selection` in the tie-break.

    Notes
    -----
    Exactly one of these holds: the lists of lines agree up to a position and the smaller list has
    a smaller line there; they agree up to there and the smaller list ends; or the lists are equal,
    and the places agree up to a chart colour and the smaller list has a smaller place there.
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
        """If `way` is 1, the first `upto` lines are those of the selection."""
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
    # Ties among interchangeable colours are broken later, in a model with distinct colours.
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
