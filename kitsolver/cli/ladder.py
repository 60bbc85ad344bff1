"""``kitsolver ladder``."""

from __future__ import annotations

from typing import Annotated

import typer

from kitsolver.cli.command_errors import NO_KIT, OUT_OF_TIME, command_errors
from kitsolver.cli.console import console, progress_bar
from kitsolver.cli.options import JsonFile, Solver
from kitsolver.cli.results import one_to_stdout, write, write_json
from kitsolver.cli.sources import Sources, sum_of, takes_sources


@takes_sources
def ladder(
    sources: Sources,
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
) -> None:
    """Show every rung between two caps.

    A rung is the least cap at which the best kit gets better.
    """
    with command_errors():
        from kitsolver.solve.time_limit import TimeLimit

        # Imports count in.
        time_limit = TimeLimit(seconds)
        from kitsolver.explain import ladder as explain
        from kitsolver.show.ladder import ladder_csv, ladder_record, show_ladder
        from kitsolver.show.plot import ladder_plot, plot_format

        only_data = one_to_stdout(json=json, csv=csv)
        plot_as = plot_format(plot) if plot is not None else ""
        brief, catalogue = sources.read()
        bottom = None if low is None else sum_of(low, brief, "--from")
        top = 2 * brief.total_cap if high is None else sum_of(high, brief, "--to")
        if bottom is not None and bottom > top:
            raise typer.BadParameter("the lowest cap is above the highest", param_hint="--from")
        with progress_bar("climbing") as progress:
            found = explain.ladder(
                catalogue,
                brief,
                low=bottom,
                high=top,
                solver=solver,
                seconds=time_limit.left,
                progress=progress,
                validated=True,
            )
        write_json(json, ladder_record(found))
        if csv is not None:
            write(csv, ladder_csv(found))
        if plot is not None:
            write(plot, ladder_plot(found, plot_as))
        if not only_data:
            show_ladder(found, console(), main=main)
        if not found.rungs:
            raise typer.Exit(NO_KIT)
        if not found.complete:
            raise typer.Exit(OUT_OF_TIME)
