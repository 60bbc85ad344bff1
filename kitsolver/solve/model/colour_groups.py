"""Interchangeable colours of a chart: groups that the model gives places to as a whole.

Where colours are free, chart colours that take as many skeins of every thread are interchangeable.
So the model asks how many of a group take a place, and not which; that removes its symmetries.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import groupby
from typing import Any, NamedTuple

from kitsolver.craft.colour import lightness
from kitsolver.craft.thread import Charted
from kitsolver.solve.candidates.candidate import Chart, Place, Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.quantities import skeins_a_pool


class Group(NamedTuple):
    """Interchangeable chart colours, by their numbers, and what is asked of the first."""

    colours: tuple[int, ...]
    asked: Charted


# Groups in rising order of lightness; those of one layer in any order.
Layers = list[list[Group]]


def layers(
    chart: Chart,
    candidates: Candidates,
    counts: Iterable[Fraction | None],
    *,
    distinct: bool = False,
) -> Layers:
    """Return the colours of a chart in groups.

    Parameters
    ----------
    counts : iterable of Fraction or None
        The effective counts that there are.
    distinct : bool
        Whether every colour is a group of its own.
    """
    shades, counts = chart.shades or (), list(counts)
    if not candidates.free:
        return [[Group((number,), asked) for number, asked in enumerate(shades)]]
    lengths = sorted({thread.skein_length for thread in candidates.threads})

    listed = any(thread.home_length for thread in candidates.threads)

    def like(number: int) -> tuple[Any, ...]:
        asked = shades[number]
        skeins = (
            skeins_a_pool(asked, count, length, candidates.brief)
            for count in counts
            for length in lengths
        )
        # What thread at home spares, the exact length decides.
        length = (asked.stitches, asked.strands, asked.backstitch) if listed else ()
        return (asked.kind, *length, *skeins)

    kinds = [(number,) if distinct else like(number) for number in range(len(shades))]
    found: list[dict[tuple[Any, ...], list[int]]] = []
    for level in _levels(chart, candidates):
        kinds_here: dict[tuple[Any, ...], list[int]] = defaultdict(list)
        for number in level:
            kinds_here[kinds[number]].append(number)
        if found and found[-1].keys() == kinds_here.keys() and len(kinds_here) == 1:
            for kind, numbers in kinds_here.items():
                found[-1][kind] += numbers
        else:
            found.append(kinds_here)
    return [
        [Group(tuple(numbers), shades[numbers[0]]) for numbers in layer.values()] for layer in found
    ]


def _levels(chart: Chart, candidates: Candidates) -> Iterator[list[int]]:
    """Yield the numbers of the colours that are equally light, the darkest first."""
    numbers = list(range(len(chart.shades or ())))
    if not candidates.brief.shades.keep_values:
        yield numbers
        return
    light = lightness([asked.colour for asked in chart.shades or ()]).tolist()
    numbers.sort(key=lambda number: light[number])
    for _, level in groupby(numbers, key=lambda number: light[number]):
        yield list(level)


def in_chart_order(
    given: Sequence[tuple[Group, Sequence[Place]]], candidates: Candidates
) -> list[Place]:
    """Return the places that groups were given, one for each chart colour, in chart order.

    Within a group the darkest goes to the darkest, or the first place to the first colour.
    """
    order: dict[int, Place] = {}
    for group, places in given:
        ranked = sorted(places, key=lambda place: place.key)
        if candidates.brief.shades.keep_values and len(ranked) > 1:
            light = dict(zip(ranked, lightness([p.colour for p in ranked]).tolist(), strict=True))
            ranked.sort(key=lambda place: light[place])
        order |= zip(group.colours, ranked, strict=True)
    return [order[number] for number in sorted(order)]


def dark_to_light(selection: Selection, candidates: Candidates) -> tuple[Place, ...]:
    """Return the places of a choice, the darkest given to the darkest chart colour, and so on."""
    numbers = [number for level in _levels(selection.chart, candidates) for number in level]
    light = lightness([place.colour for place in selection.places]).tolist()
    ranked = sorted(
        zip(light, selection.places, strict=True), key=lambda pair: (pair[0], pair[1].key)
    )
    order = dict(zip(numbers, (place for _, place in ranked), strict=True))
    return tuple(order[number] for number in sorted(order))
