"""A ladder as a step plot."""

from __future__ import annotations

import io
from pathlib import PurePath
from typing import Any

from kitsolver.explain.ladder import Ladder
from kitsolver.shop.findings import BadInput, Finding
from kitsolver.shop.money import exponent

FORMATS = ("svg", "png")


class UnknownPlot(Finding):
    """A plot is to be written in a format that is not known by the file's ending."""

    says = "A plot is written as SVG or PNG, and this file's ending says neither."
    mend = "name a file that ends in .svg or .png"


def plot_format(target: str) -> str:
    """Return the format that a file's ending says.

    Raises
    ------
    BadInput
        If it says none.
    """
    ending = PurePath(target).suffix[1:].lower()
    if ending not in FORMATS:
        raise BadInput([UnknownPlot(file=target)])
    return ending


def ladder_plot(ladder: Ladder, kind: str) -> bytes:
    """Return a drawing of quality and extras by cap, the same bytes for the same ladder.

    Parameters
    ----------
    kind : str
        ``"svg"`` or ``"png"``.
    """
    import matplotlib as mpl
    from matplotlib.figure import Figure

    scale = 10 ** exponent(ladder.brief.currency)
    caps = [max(rung.cap, ladder.low) / scale for rung in ladder.rungs]
    # Words stay words in SVG, and its names depend on nothing but the drawing.
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
    """Draw steps that go on at their height to the end."""
    if caps:
        axes.step([*caps, end], [*heights, heights[-1]], where="post", color=colour)
