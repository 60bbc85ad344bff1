"""The colours of a kit as strips: as charted and as chosen, each as wide as it has stitches."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kitsolver.brief.brief import Brief
from kitsolver.show.sheet.theme import ink_on
from kitsolver.show.sheet.things import short_name
from kitsolver.show.sheet.tide import from_dark_to_light
from kitsolver.solve.outcome import Kit

WIDTH = 520.0
# The least height of a line of words, and of a strip that a name is written on.
_LINE, _WRITTEN = 25.0, 22.0
_LEAST_HEIGHT, _PAD = 250.0, 12.0
# A name of more letters is not written on a strip.
_MOST_LETTERS = 15
# Beside a strip there is room for so many, with stitches and skeins behind them.
_MOST_BESIDE = 18


@dataclass(frozen=True)
class Strip:
    """One colour, from the top down.

    Parameters
    ----------
    charted, thread : str
        Both colours.
    name : str
        Of the thread; `on` tells whether it is written on the strip, in `ink`.
    stitches : str
        How many.
    skeins : int
        How many, for all.
    top, height : float
        Of the strip.
    words : float
        Where its words stand.
    home : bool
        Whether the thread is at home.
    """

    charted: str
    thread: str
    name: str
    on: bool
    ink: str
    stitches: str
    skeins: int
    top: float
    height: float
    words: float
    home: bool


@dataclass(frozen=True)
class Strips:
    """All strips, on the cloth's colour, and the height of the drawing."""

    rows: tuple[Strip, ...]
    cloth: str
    height: float
    strands: int | None


def strips_of(kit: Kit, brief: Brief, least: float | None = None) -> Strips | None:
    """Return the strips of a kit, of some least height; None if the chart is not known."""
    ordered = from_dark_to_light(kit.shades)
    if not ordered:
        return None
    lines = {line.sku: line for line in kit.lines}
    inner = max(least or _LEAST_HEIGHT, _LINE * len(ordered))
    every = float(sum(shade.stitches for shade in ordered)) or 1.0
    heights = [inner * float(shade.stitches) / every for shade in ordered]
    tops = [_PAD + sum(heights[:place]) for place in range(len(ordered))]
    middles = [top + height / 2 for top, height in zip(tops, heights, strict=True)]
    words = _spread(middles, _PAD + inner)
    rows = []
    for place, shade in enumerate(ordered):
        line = lines.get(shade.sku or "")
        name = short_name(line.name) if line else shade.thread_colour
        if len(name) > _MOST_BESIDE:
            name = f"{name[: _MOST_BESIDE - 1].rstrip()}…"
        rows.append(
            Strip(
                charted=shade.chart_colour,
                thread=shade.thread_colour,
                name=name,
                on=heights[place] >= _WRITTEN and len(name) <= _MOST_LETTERS,
                ink=ink_on(shade.thread_colour),
                stitches=f"{float(shade.stitches):g}",
                skeins=shade.skeins,
                top=round(tops[place], 2),
                height=round(heights[place], 2),
                words=round(words[place], 2),
                home=line is None
                or line.sku in brief.choose.own
                or (line.listed and not line.bought),
            )
        )
    cloth = kit.fit.cloth or "#f4f0e4"
    return Strips(tuple(rows), cloth, inner + 2 * _PAD, kit.fit.strands)


def _spread(middles: Sequence[float], bottom: float) -> list[float]:
    """Return where lines of words stand that are wanted at some heights, so that none overlap."""
    found: list[float] = []
    for middle in middles:
        found.append(max(middle, found[-1] + _LINE if found else _PAD + _LINE / 2))
    least = bottom - _LINE / 2
    for place in range(len(found) - 1, -1, -1):
        found[place] = min(found[place], least)
        least = found[place] - _LINE
    return found
