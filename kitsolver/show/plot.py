"""A ladder as a step plot."""

from __future__ import annotations

import io
from pathlib import PurePath
from typing import Any

from kitsolver.explain.ladder import Ladder
from kitsolver.shop.findings import BadInput, Finding
from kitsolver.shop.money import exponent
from kitsolver.shop.packages import needed

FORMATS = ("svg", "png")


class UnknownPlot(Finding):
    """A file for a plot has an ending that is neither .svg nor .png."""

    says = "A plot is written as SVG or PNG, and this file's ending says neither."
    mend = "name a file that ends in .svg or .png"


def plot_format(target: str) -> str:
    """Return the format that a file's ending names.

    Raises
    ------
    BadInput
        If it names none of `FORMATS`, or if the package that draws is not installed.
    """
    ending = PurePath(target).suffix[1:].lower()
    if ending not in FORMATS:
        raise BadInput([UnknownPlot(file=target)])
    needed("matplotlib", "plot", target)
    return ending


def ladder_plot(ladder: Ladder, kind: str) -> bytes:
    """Return a plot of quality and extras by cap; equal ladders give equal bytes.

    Parameters
    ----------
    ladder : Ladder
        What is drawn.
    kind : str
        One of `FORMATS`.
    """
    import matplotlib as mpl
    from matplotlib.figure import Figure

    scale = 10 ** exponent(ladder.brief.currency)
    caps = [max(rung.cap, ladder.low) / scale for rung in ladder.rungs]
    # Text stays text in SVG. Its identifiers are hashes, which the salt makes the same every time.
    with mpl.rc_context({"svg.fonttype": "none", "svg.hashsalt": "kitsolver"}):
        drawing = Figure(figsize=(8, 5), layout="constrained")
        above, below = drawing.subplots(2, 1, sharex=True, height_ratios=(3, 1))
        end = ladder.high / scale
        quality = [float(rung.kit.figures.quality) for rung in ladder.rungs]
        extras = [float(rung.kit.figures.extras) for rung in ladder.rungs]
        for axes, heights, colour in ((above, quality, "#0b5d8a"), (below, extras, "#8a4b0b")):
            _steps(axes, caps, heights, end, colour)
        rises = [at for at, rung in enumerate(ladder.rungs) if rung.main]
        above.plot(caps, quality, "o", ms=3, color="#0b5d8a", markevery=rises)
        above.set_title(ladder.brief.title or "The ladder")
        above.set_ylabel("quality, of 100")
        below.set_ylabel("extras")
        below.set_xlabel(f"cap, {ladder.brief.currency}")
        below.set_xlim(ladder.low / scale, max(end, ladder.low / scale + 1 / scale))
        for axes in (above, below):
            axes.grid(visible=True, alpha=0.3)
            axes.axvline(ladder.brief.total_cap / scale, color="#555555", ls="--", lw=1)
        file = io.BytesIO()
        metadata = {"Date": None} if kind == "svg" else {"Software": None}
        drawing.savefig(file, format=kind, dpi=150, metadata=metadata)
    return file.getvalue()


def _steps(axes: Any, caps: list[float], heights: list[float], end: float, colour: str) -> None:
    """Draw a step function; its last height holds up to `end`."""
    if caps:
        axes.step([*caps, end], [*heights, heights[-1]], where="post", color=colour)
