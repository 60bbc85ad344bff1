"""The ladder around the cap as a line of steps, in hundredths of its frame."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kitsolver.explain.ladder import Ladder
from kitsolver.shop.money import to_text
from kitsolver.show.told import plain

WIDTH, HEIGHT = 160.0, 60.0


@dataclass(frozen=True)
class Rise:
    """A rung at which quality rises: its cap and its quality, as text."""

    cap: str
    quality: str


@dataclass(frozen=True)
class Steps:
    """The best quality for every cap.

    Parameters
    ----------
    points : str
        The line, as SVG takes it.
    cap : float
        Where the cap stands.
    low, high : str
        The caps at both ends.
    least, most : str
        The qualities at the bottom and at the top.
    rises : tuple of Rise
        Where quality rises: the same in words.
    """

    points: str
    cap: float
    low: str
    high: str
    least: str
    most: str
    rises: tuple[Rise, ...]


def steps_of(ladder: Ladder) -> Steps | None:
    """Return the steps of a ladder; None if it has no rung."""
    if not ladder.rungs:
        return None
    brief, rungs = ladder.brief, ladder.main
    qualities = [float(rung.kit.figures.quality) for rung in rungs]
    floor, top = min(qualities), max(qualities)

    def x(cap: int) -> float:
        share = (cap - ladder.low) / max(1, ladder.high - ladder.low)
        return round(WIDTH * min(1.0, max(0.0, share)), 2)

    def y(quality: float) -> float:
        # Where nothing rises the line is flat in the middle.
        share = (quality - floor) / (top - floor) if top > floor else 0.5
        return round(HEIGHT * (0.9 - 0.8 * share), 2)

    places = _corners([(x(r.cap), y(q)) for r, q in zip(rungs, qualities, strict=True)])
    return Steps(
        points=" ".join(f"{across},{down}" for across, down in places),
        cap=x(brief.total_cap),
        low=to_text(ladder.low, brief.currency),
        high=to_text(ladder.high, brief.currency),
        least=plain(rungs[0].kit.figures.quality),
        most=plain(rungs[-1].kit.figures.quality),
        rises=tuple(
            Rise(to_text(rung.cap, brief.currency), plain(rung.kit.figures.quality))
            for rung in rungs
        ),
    )


def _corners(places: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return the corners of steps that begin at some places."""
    found: list[tuple[float, float]] = []
    for across, down in places:
        if found:
            found.append((across, found[-1][1]))
        found.append((across, down))
    return [*found, (WIDTH, found[-1][1])]
