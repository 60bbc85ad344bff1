"""The colours of a kit as strips: as charted and as chosen, each as wide as it has stitches."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from kitsolver.brief.brief import Brief
from kitsolver.show.sheet.texts import texts
from kitsolver.show.sheet.theme import UNDYED, ink_on
from kitsolver.show.sheet.things import short_name
from kitsolver.show.sheet.tide import from_dark_to_light
from kitsolver.solve.audit.evidence import Shade
from kitsolver.solve.outcome import Kit, Line

WIDTH = 640.0
# The least height of a line of words, and of a strip that a name is written on.
_LINE, _WRITTEN = 34.0, 30.0
_LEAST_HEIGHT, _PAD = 330.0, 14.0
# How wide letters are beside a strip and on it. What the words leave of the width belongs to the
# cloth, within bounds.
_LETTER_WIDTH, _ON_STRIP, _LEAD = 9.4, 10.6, 27.0
_LEAST_GROUND, _MOST_GROUND = 256.0, 420.0
# The charted colour has this share of a strip, and the gap behind it this width; a name stands
# so far inside its strip.
_CHARTED, _GAP, _INSET = 0.35, 10.0, 8.0
# Beside a strip a name is cut to so many letters, as stitches and skeins stand behind it.
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
    beside : str
        What stands beside it: the stitches, and the skeins for all or that it is at home.
    top, height : float
        Of the strip.
    words : float
        Where its words stand.
    """

    charted: str
    thread: str
    name: str
    on: bool
    ink: str
    stitches: str
    beside: str
    top: float
    height: float
    words: float


@dataclass(frozen=True)
class Strips:
    """All strips, on the cloth's colour, the height of the drawing, and the width of the cloth."""

    rows: tuple[Strip, ...]
    cloth: str
    height: float
    strands: int | None
    ground: float

    @property
    def width(self) -> str:
        """The width of the drawing."""
        return f"{WIDTH:g}"

    @property
    def across(self) -> dict[str, float]:
        """Where the columns of the drawing begin, and how wide they are."""
        room = self.ground - 2 * _PAD - _GAP
        charted = round(room * _CHARTED, 1)
        begin = _PAD + charted + _GAP
        return {
            "charted": _PAD,
            "charted_width": charted,
            "thread": begin,
            "thread_width": round(room - charted, 1),
            "words": self.ground + _LEAD,
        }


def strips_of(kit: Kit, brief: Brief, least: float | None = None) -> Strips | None:
    """Return the strips of a kit, of some least height; None if the chart is not known."""
    skus = {shade.sku for shade in kit.shades}
    threads = tuple(line for line in kit.lines if line.sku in skus)
    strips = _strips(kit.shades, threads, brief.choose.own, least or _LEAST_HEIGHT)
    return strips and replace(strips, cloth=kit.fit.cloth or UNDYED, strands=kit.fit.strands)


# Kits that differ in other lines have the same strips.
@lru_cache(64)
def _strips(
    shades: tuple[Shade, ...], threads: tuple[Line, ...], own: tuple[str, ...], least: float
) -> Strips | None:
    """Return the strips of some shades and the lines they come from, on undyed cloth."""
    ordered = from_dark_to_light(shades)
    if not ordered:
        return None
    lines = {line.sku: line for line in threads}
    inner = max(least, _LINE * len(ordered))
    every = float(sum(shade.stitches for shade in ordered)) or 1.0
    heights = [inner * float(shade.stitches) / every for shade in ordered]
    tops = [_PAD + sum(heights[:place]) for place in range(len(ordered))]
    middles = [top + height / 2 for top, height in zip(tops, heights, strict=True)]
    words = _spread(middles, _PAD + inner)
    beside = [_beside(shade, lines.get(shade.sku or ""), own) for shade in ordered]
    names = [_name(shade, lines.get(shade.sku or "")) for shade in ordered]
    on, ground = _widths(names, beside, [height >= _WRITTEN for height in heights])
    rows = tuple(
        Strip(
            charted=shade.chart_colour,
            thread=shade.thread_colour,
            name=names[place],
            on=on[place],
            ink=ink_on(shade.thread_colour),
            stitches=f"{float(shade.stitches):g}",
            beside=beside[place],
            top=round(tops[place], 2),
            height=round(heights[place], 2),
            words=round(words[place], 2),
        )
        for place, shade in enumerate(ordered)
    )
    return Strips(rows, UNDYED, inner + 2 * _PAD, None, ground)


def _widths(
    names: Sequence[str], beside: Sequence[str], on: Sequence[bool]
) -> tuple[Sequence[bool], float]:
    """Return which names are written on their strips, of some that may be, and the cloth's width.

    A name for which a strip is too narrow stands beside it, and leaves the cloth less width.
    """
    while True:
        letters = [
            len(words) + (0 if written else len(name) + 2)
            for name, words, written in zip(names, beside, on, strict=True)
        ]
        left = WIDTH - _LEAD - _LETTER_WIDTH * max(letters)
        ground = round(min(max(left, _LEAST_GROUND), _MOST_GROUND), 1)
        room = (ground - 2 * _PAD - _GAP) * (1 - _CHARTED) - _INSET
        fits = [
            written and len(name) * _ON_STRIP <= room
            for name, written in zip(names, on, strict=True)
        ]
        if fits == list(on):
            return on, ground
        on = fits


def _name(shade: Shade, line: Line | None) -> str:
    name = short_name(line.name) if line else shade.thread_colour
    return name if len(name) <= _MOST_BESIDE else f"{name[: _MOST_BESIDE - 1].rstrip()}…"


def _beside(shade: Shade, line: Line | None, own: Collection[str]) -> str:
    """Return how many stitches a colour has, and how many skeins or that it is at home."""
    t = texts("kitsolver.show.sheet").strips
    home = line is None or line.sku in own or (line.listed and not line.bought)
    skeins = f"{shade.skeins} {t.skein if shade.skeins == 1 else t.skeins}"
    return f"{float(shade.stitches):g} {t.stitches}, {t.at_home if home else skeins}"


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
