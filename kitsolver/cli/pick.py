"""``kitsolver pick``."""

from __future__ import annotations

from typing import Annotated

import typer

from kitsolver.cli.manners import (
    NO_KIT,
    OUT_OF_TIME,
    bar,
    console,
    manners,
    one_to_stdout,
    read_both,
)
from kitsolver.cli.options import (
    BriefFile,
    CapText,
    CatalogueFile,
    Engine,
    JsonFile,
    Sets,
    SkipBadRows,
    Solver,
)


def pick(
    catalogue: CatalogueFile,
    brief: BriefFile,
    cap: CapText = None,
    sets: Sets = None,
    json: JsonFile = None,
    csv: Annotated[
        str | None, typer.Option(metavar="F", help="Write the buying list as CSV; - is stdout.")
    ] = None,
    engine: Annotated[
        Engine, typer.Option(help="Chart by chart, or the one model that defines the problem.")
    ] = Engine.BY_CHART,
    solver: Annotated[Solver, typer.Option(help="The mixed-integer solver.")] = Solver.SCIP,
    confirm: Annotated[
        bool, typer.Option("--confirm", help="Prove it again with a second solver.")
    ] = False,
    seconds: Annotated[
        float | None, typer.Option(min=0.0, help="Stop after so long with the best so far.")
    ] = None,
    skip_bad_rows: SkipBadRows = False,
) -> None:
    """Pick the best kit under the cap."""
    with manners():
        from kitsolver.explain.answer import answer
        from kitsolver.show.buying_list import buying_list
        from kitsolver.show.files import write_whole
        from kitsolver.show.record import json_text, record_of
        from kitsolver.show.terminal import show_outcome
        from kitsolver.solve import pick as picking
        from kitsolver.solve.model import solver as solving
        from kitsolver.solve.outcome import Status

        only_data = one_to_stdout(json, csv)
        asked, goods = read_both(catalogue, brief, sets or [], cap, skip_bad_rows)
        behind = solving.Solver(solver.value)
        with bar("picking") as progress:
            outcome, why = answer(
                goods,
                asked,
                engine=picking.Engine(engine.value),
                solver=behind,
                seconds=seconds,
                confirm=confirm,
                progress=progress,
            )
        if json is not None:
            write_whole(json, json_text(record_of(outcome, why)))
        if csv is not None:
            write_whole(csv, buying_list(outcome, goods))
        if not only_data:
            show_outcome(outcome, console(), why)
        if confirm:
            told = f"Confirmed: {behind.second} proves the same."
            console(stderr=True).print(told, highlight=False)
        if outcome.status is not Status.BEST:
            raise typer.Exit(NO_KIT if outcome.status is Status.NO_KIT else OUT_OF_TIME)
