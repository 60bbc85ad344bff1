"""``kitsolver ladder``."""

from __future__ import annotations

from typing import Annotated

import typer

from kitsolver.cli.command_errors import (
    NO_KIT,
    OUT_OF_TIME,
    bar,
    command_errors,
    console,
    one_to_stdout,
    read_both,
    sum_of,
)
from kitsolver.cli.options import (
    BriefFile,
    CatalogueFile,
    Columns,
    JsonFile,
    Sets,
    SkipBadRows,
    Solver,
)


def ladder(
    catalogue: CatalogueFile,
    brief: BriefFile,
    low: Annotated[
        str | None,
        typer.Option("--from", metavar="X", help="The lowest cap; else that of the cheapest kit."),
    ] = None,
    high: Annotated[
        str | None,
        typer.Option("--to", metavar="Y", help="The highest cap; else twice the brief's."),
    ] = None,
    main: Annotated[
        bool, typer.Option("--main", help="Show only the rungs at which quality changes.")
    ] = False,
    sets: Sets = None,
    json: JsonFile = None,
    csv: Annotated[
        str | None, typer.Option(metavar="F", help="Write the rungs as CSV; - is stdout.")
    ] = None,
    plot: Annotated[
        str | None, typer.Option(metavar="F", help="Draw the ladder to a .svg or .png file.")
    ] = None,
    solver: Annotated[
        Solver, typer.Option(help="The mixed-integer solver, where one is needed.")
    ] = Solver.SCIP,
    seconds: Annotated[
        float | None, typer.Option(min=0.0, help="Stop after so long with the rungs proven.")
    ] = None,
    columns: Columns = None,
    skip_bad_rows: SkipBadRows = False,
) -> None:
    """Show every rung between two caps.

    A rung is the least cap at which the best kit gets better.
    """
    with command_errors():
        from kitsolver.explain import ladder as climbing
        from kitsolver.show.files import write_whole
        from kitsolver.show.json_record import json_text
        from kitsolver.show.ladder import ladder_csv, ladder_record, show_ladder
        from kitsolver.show.plot import ladder_plot, plot_format

        only_data = one_to_stdout(json=json, csv=csv)
        drawn = plot_format(plot) if plot is not None else ""
        asked, goods = read_both(catalogue, brief, sets or [], None, columns, skip_bad_rows)
        bottom = None if low is None else sum_of(low, asked, "--from")
        top = 2 * asked.total_cap if high is None else sum_of(high, asked, "--to")
        if bottom is not None and bottom > top:
            raise typer.BadParameter("the lowest cap is above the highest", param_hint="--from")
        with bar("climbing") as progress:
            found = climbing.ladder(
                goods,
                asked,
                low=bottom,
                high=top,
                solver=solver,
                seconds=seconds,
                progress=progress,
            )
        if json is not None:
            write_whole(json, json_text(ladder_record(found)))
        if csv is not None:
            write_whole(csv, ladder_csv(found))
        if plot is not None:
            write_whole(plot, ladder_plot(found, drawn))
        if not only_data:
            show_ladder(found, console(), main=main)
        if not found.rungs:
            raise typer.Exit(NO_KIT)
        if not found.complete:
            raise typer.Exit(OUT_OF_TIME)
