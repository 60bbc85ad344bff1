"""A drawing of the ladder: a line of steps in a frame of WIDTH × HEIGHT."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kitsolver.explain.ladder import Ladder
from kitsolver.shop.money import to_text
from kitsolver.show.sentences import figure_text

WIDTH, HEIGHT = 160.0, 60.0


@dataclass(frozen=True)
class Rise:
    """A rung at which quality rises: its cap and its quality, as text."""

    cap: str
    quality: str


@dataclass(frozen=True)
class LadderDrawing:
    """A line that shows the best quality for every cap.

    Parameters
    ----------
    points : str
        The corners of the line, as SVG writes them.
    low, high : str
        The caps at both ends.
    least, most : str
        The qualities at the bottom and at the top.
    rises : tuple of Rise
        Where quality rises.
    """

    points: str
    low: str
    high: str
    least: str
    most: str
    rises: tuple[Rise, ...]


def ladder_drawing(ladder: Ladder) -> LadderDrawing | None:
    """Return the drawing of a ladder; None if it has no rung."""
    if not ladder.rungs:
        return None
    brief, rungs = ladder.brief, ladder.main
    qualities = [float(rung.kit.figures.quality) for rung in rungs]
    floor, top = min(qualities), max(qualities)

    def y(quality: float) -> float:
        # A ladder on which quality never rises is a flat line in the middle.
        share = (quality - floor) / (top - floor) if top > floor else 0.5
        return round(HEIGHT * (0.9 - 0.8 * share), 2)

    starts = (across(rung.cap, ladder.low, ladder.high) for rung in rungs)
    places = _corners([(x, y(quality)) for x, quality in zip(starts, qualities, strict=True)])
    return LadderDrawing(
        points=" ".join(f"{x},{y}" for x, y in places),
        low=to_text(ladder.low, brief.currency),
        high=to_text(ladder.high, brief.currency),
        least=figure_text(rungs[0].kit.figures.quality),
        most=figure_text(rungs[-1].kit.figures.quality),
        rises=tuple(
            Rise(to_text(rung.cap, brief.currency), figure_text(rung.kit.figures.quality))
            for rung in rungs
        ),
    )


def across(cap: int, low: int, high: int) -> float:
    """Return how far from the left a cap is drawn between the lowest and the highest."""
    share = (cap - low) / max(1, high - low)
    return round(WIDTH * min(1.0, max(0.0, share)), 2)


def _corners(places: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return the corners of a line whose steps begin at some places and that ends at the right."""
    found: list[tuple[float, float]] = []
    for x, y in places:
        if found:
            found.append((x, found[-1][1]))
        found.append((x, y))
    return [*found, (WIDTH, found[-1][1])]
