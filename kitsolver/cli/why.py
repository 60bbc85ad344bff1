"""``kitsolver why``."""

from __future__ import annotations

from typing import Annotated

import typer

from kitsolver.cli.command_errors import OUT_OF_TIME, command_errors
from kitsolver.cli.console import console, progress_bar
from kitsolver.cli.options import CapText, JsonFile, Seconds
from kitsolver.cli.results import write_json
from kitsolver.cli.sources import Sources, takes_sources


@takes_sources
def why(
    sources: Sources,
    sku: Annotated[
        str | None, typer.Argument(metavar="SKU", help="The row to ask after.", show_default=False)
    ] = None,
    cap: CapText = None,
    json: JsonFile = None,
    seconds: Seconds = None,
) -> None:
    """Say why there is no kit, or why not with SKU."""
    with command_errors():
        if sku is not None:
            _why_not(sources, sku, cap, json, seconds)
        else:
            _why_no_kit(sources, cap, json, seconds)


def _why_not(
    sources: Sources, sku: str, cap: str | None, json: str | None, seconds: float | None
) -> None:
    """Say why a row is not in the best kit."""
    from kitsolver.solve.time_limit import TimeLimit

    # Imports count in.
    time_limit = TimeLimit(seconds)
    from kitsolver.explain.why_not import why_not
    from kitsolver.show.why import show_why_not, why_not_record

    brief, catalogue = sources.read(cap)
    with progress_bar("explaining") as progress:
        found = why_not(
            catalogue,
            brief,
            sku,
            seconds=time_limit.left,
            progress=progress,
            validated=True,
        )
    if not write_json(json, why_not_record(found)):
        show_why_not(found, console())
    if not found.complete:
        raise typer.Exit(OUT_OF_TIME)


def _why_no_kit(sources: Sources, cap: str | None, json: str | None, seconds: float | None) -> None:
    """Say why there is no kit."""
    from kitsolver.solve.time_limit import TimeLimit

    # Imports count in.
    time_limit = TimeLimit(seconds)
    from kitsolver.explain.answer import answer
    from kitsolver.show.kit_record import record_of
    from kitsolver.show.terminal import show_no_kit

    brief, catalogue = sources.read(cap)
    with progress_bar("explaining") as progress:
        outcome, reasons = answer(
            catalogue, brief, seconds=time_limit.left, progress=progress, validated=True
        )
    if not write_json(json, record_of(outcome, reasons)):
        out = console()
        if reasons is not None:
            show_no_kit(reasons, outcome.row_counts, out)
        else:
            lines = len(outcome.kit.lines) if outcome.kit else 0
            out.print(f"There is a kit, of {lines} lines.", highlight=False)
            out.print("hint: name a SKU to ask why it is not in it", highlight=False)
    if reasons is not None and not reasons.complete:
        raise typer.Exit(OUT_OF_TIME)
