"""The design's place on the cloth: bands of the kit's shades, in the charted proportions.

The bands lie one above the other from dark to light, and meet in waves. A wave rises as far above
its line as it falls below it, so each band covers exactly its shade's share of the stitches.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from kitsolver.craft.colour import lightness
from kitsolver.solve.audit.evidence import Shade

SIDE = 100.0
# The waves of one line, and the greatest height of one.
_WAVES, _HIGHEST = 3, 2.4


@dataclass(frozen=True)
class Band:
    """A band of one shade; `path` is drawn in a square of SIDE, the band above it first."""

    colour: str
    path: str


def from_dark_to_light(shades: Sequence[Shade]) -> list[Shade]:
    """Return shades by the lightness of their threads, the darkest first."""
    return [shades[place] for place in _places(tuple(shade.thread_colour for shade in shades))]


# A picture asks for the same colours again and again, and so does the next one.
@lru_cache(256)
def _places(colours: tuple[str, ...]) -> tuple[int, ...]:
    """Return the places of colours, those of the darkest first."""
    if not colours:
        return ()
    light = lightness(colours).tolist()
    return tuple(sorted(range(len(colours)), key=lambda place: (light[place], place)))


def bands(shades: Sequence[Shade]) -> list[Band]:
    """Return the bands of a kit's shades, from the top down. Each is drawn over the ones above."""
    ordered = from_dark_to_light(shades)
    every = float(sum(shade.stitches for shade in ordered)) or 1.0
    heights = [SIDE * float(shade.stitches) / every for shade in ordered]
    found, top = [], 0.0
    for place, (shade, height) in enumerate(zip(ordered, heights, strict=True)):
        rise = 0.0 if place == 0 else min(_HIGHEST, heights[place - 1] / 2.5, height / 2.5)
        found.append(Band(shade.thread_colour, _below(top, rise, turned=bool(place % 2))))
        top += height
    return found


def _below(line: float, rise: float, *, turned: bool) -> str:
    """Return the path of all that lies below a wavy line."""
    if not rise:
        return f"M0 {line:.2f}H{SIDE:g}V{SIDE:g}H0Z"
    half = SIDE / _WAVES / 2
    peak = line + 2 * rise * (1 if turned else -1)
    waves = "".join(f"T{half * (step + 1):.2f} {line:.2f}" for step in range(1, 2 * _WAVES))
    first = f"Q{half / 2:.2f} {peak:.2f} {half:.2f} {line:.2f}"
    return f"M0 {line:.2f}{first}{waves}V{SIDE:g}H0Z"
