"""``kitsolver others``."""

from __future__ import annotations

from typing import Annotated

import typer

from kitsolver.cli.command_errors import (
    NO_KIT,
    OUT_OF_TIME,
    command_errors,
    console,
    read_both,
    sum_of,
)
from kitsolver.cli.options import (
    BriefFile,
    CapText,
    CatalogueFile,
    Columns,
    JsonFile,
    Seconds,
    Sets,
    SkipBadRows,
)


def others(
    catalogue: CatalogueFile,
    brief: BriefFile,
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
    sets: Sets = None,
    json: JsonFile = None,
    seconds: Seconds = None,
    columns: Columns = None,
    skip_bad_rows: SkipBadRows = False,
) -> None:
    """Show different kits that come close to the best."""
    with command_errors():
        from kitsolver.explain.lines import Instead, instead
        from kitsolver.explain.no_kit.why_no_kit import why_no_kit
        from kitsolver.explain.others import others as find
        from kitsolver.explain.reach import Reached, out_of_reach
        from kitsolver.show.files import STANDARD_OUTPUT, write_whole
        from kitsolver.show.json_record import json_text
        from kitsolver.show.kit_record import record_of
        from kitsolver.show.others import others_record, show_others
        from kitsolver.show.terminal import show_no_kit
        from kitsolver.solve.engine import Solver
        from kitsolver.solve.outcome import Outcome, Status
        from kitsolver.solve.time_limit import OutOfTime, TimeLimit

        asked, goods = read_both(catalogue, brief, sets or [], cap, columns, skip_bad_rows)
        further = asked.total_cap // 10 if beyond is None else sum_of(beyond, asked, "--beyond")
        time_limit = TimeLimit(seconds)
        found = find(goods, asked, count, apart=apart, tied=tied, seconds=seconds)
        if not found.kits:
            why = why_no_kit(goods, asked, time_limit=time_limit)
            if json is not None:
                write_whole(json, json_text(record_of(Outcome(Status.NO_KIT, asked), why)))
            if json != STANDARD_OUTPUT:
                show_no_kit(why, console())
            raise typer.Exit(NO_KIT)
        complete = found.complete
        reached: tuple[Reached, ...] = ()
        each: list[Instead] = []
        try:
            reached = out_of_reach(goods, asked, further, solver=Solver.SCIP, time_limit=time_limit)
            if lines:
                each += instead(
                    goods, asked, found.kits[0], solver=Solver.SCIP, time_limit=time_limit
                )
        except OutOfTime:
            complete = False
        if json is not None:
            write_whole(json, json_text(others_record(found, reached, each if lines else None)))
        if json != STANDARD_OUTPUT:
            show_others(found, reached, each, console())
        if not complete:
            raise typer.Exit(OUT_OF_TIME)
