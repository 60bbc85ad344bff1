"""``kitsolver others``."""

from __future__ import annotations

from typing import Annotated

import typer

from kitsolver.cli.command_errors import NO_KIT, OUT_OF_TIME, command_errors
from kitsolver.cli.console import console, progress_bar
from kitsolver.cli.options import CapText, JsonFile, Seconds
from kitsolver.cli.results import write_json
from kitsolver.cli.sources import Sources, sum_of, takes_sources


@takes_sources
def others(
    sources: Sources,
    count: Annotated[int, typer.Option(min=0, help="How many others.")] = 3,
    apart: Annotated[
        int | None,
        typer.Option(min=1, help="In how many needs kits differ; else the chart or two others."),
    ] = None,
    tied: Annotated[
        bool, typer.Option("--tied", help="Only kits as good in quality and extras.")
    ] = False,
    beyond: Annotated[
        str | None,
        typer.Option(metavar="X", help="How far above the cap to look; else a tenth of it."),
    ] = None,
    lines: Annotated[
        bool, typer.Option("--lines", help="Also what each line could give way to.")
    ] = False,
    cap: CapText = None,
    json: JsonFile = None,
    seconds: Seconds = None,
) -> None:
    """Show different kits that come close to the best."""
    with command_errors():
        from dataclasses import replace

        from kitsolver.solve.time_limit import TimeLimit

        # Imports count in.
        time_limit = TimeLimit(seconds)
        from kitsolver.explain.lines import Instead, instead
        from kitsolver.explain.no_kit.why_no_kit import why_no_kit
        from kitsolver.explain.others import others as find
        from kitsolver.explain.reach import Reached, out_of_reach
        from kitsolver.show.kit_record import record_of
        from kitsolver.show.others import others_record, show_others
        from kitsolver.show.terminal import show_no_kit
        from kitsolver.solve.engine import Solver
        from kitsolver.solve.outcome import Outcome, Status
        from kitsolver.solve.time_limit import OutOfTime

        brief, catalogue = sources.read(cap)
        further = brief.total_cap // 10 if beyond is None else sum_of(beyond, brief, "--beyond")
        with progress_bar("looking for others") as progress:
            found = find(
                catalogue,
                brief,
                count,
                apart=apart,
                tied=tied,
                seconds=time_limit.left,
                progress=progress,
                validated=True,
            )
            if not found.kits:
                why = why_no_kit(catalogue, brief, time_limit=time_limit)
        if not found.kits:
            none = Outcome(Status.NO_KIT, brief, row_counts=found.row_counts)
            if not write_json(json, record_of(none, why)):
                show_no_kit(why, found.row_counts, console())
            raise typer.Exit(NO_KIT)
        reached: tuple[Reached, ...] = ()
        each: list[Instead] = []
        try:
            with progress_bar("looking above the cap"):
                reached = out_of_reach(
                    catalogue, brief, further, solver=Solver.SCIP, time_limit=time_limit
                )
            if lines:
                with progress_bar("looking at each line"):
                    best = found.kits[0]
                    each += instead(
                        catalogue, brief, best, solver=Solver.SCIP, time_limit=time_limit
                    )
        except OutOfTime:
            found = replace(found, complete=False)
        if not write_json(json, others_record(found, reached, each if lines else None)):
            show_others(found, reached, each, console())
        if not found.complete:
            raise typer.Exit(OUT_OF_TIME)
