"""``kitsolver pick``."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from kitsolver.cli.command_errors import (
    NO_KIT,
    OUT_OF_TIME,
    bar,
    command_errors,
    console,
    one_to_stdout,
    read_both,
)
from kitsolver.cli.options import (
    BriefFile,
    CapText,
    CatalogueFile,
    Columns,
    Engine,
    JsonFile,
    Reader,
    Sets,
    SkipBadRows,
    Solver,
)

if TYPE_CHECKING:
    from kitsolver.explain.no_kit.why_no_kit import NoKit
    from kitsolver.shop.catalogue import Catalogue
    from kitsolver.solve.outcome import Outcome


def pick(
    catalogue: CatalogueFile,
    brief: BriefFile,
    cap: CapText = None,
    sets: Sets = None,
    json: JsonFile = None,
    csv: Annotated[
        str | None, typer.Option(metavar="F", help="Write the buying list as CSV; - is stdout.")
    ] = None,
    html: Annotated[
        str | None, typer.Option(metavar="F", help="Write a sheet to print as HTML; - is stdout.")
    ] = None,
    reader: Annotated[
        Reader, typer.Option("--for", help="Whom the sheet is for.")
    ] = Reader.CUSTOMER,
    copies: Annotated[
        int, typer.Option(min=1, help="How many such kits the shop's sheet is for.")
    ] = 1,
    swatches: Annotated[
        bool, typer.Option("--swatches", help="Show the colours, on a terminal that has some.")
    ] = False,
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
    columns: Columns = None,
    skip_bad_rows: SkipBadRows = False,
) -> None:
    """Pick the best kit under the cap."""
    with command_errors():
        from kitsolver.explain.answer import answer
        from kitsolver.show.buying_list import buying_list
        from kitsolver.show.files import write_whole
        from kitsolver.show.json_record import json_text
        from kitsolver.show.kit_record import record_of
        from kitsolver.show.terminal import show_outcome
        from kitsolver.solve.outcome import Status

        only_data = one_to_stdout(json=json, csv=csv, html=html)
        asked, goods = read_both(catalogue, brief, sets or [], cap, columns, skip_bad_rows)
        with bar("picking") as progress:
            outcome, why = answer(
                goods,
                asked,
                engine=engine,
                solver=solver,
                seconds=seconds,
                confirm=confirm,
                progress=progress,
            )
        if json is not None:
            write_whole(json, json_text(record_of(outcome, why)))
        if csv is not None:
            write_whole(csv, buying_list(outcome, goods))
        if html is not None:
            write_whole(html, _sheet(goods, outcome, why, solver, seconds, reader, copies))
        if not only_data:
            out = console()
            show_outcome(outcome, out, why, swatches=swatches)
            if swatches and out.color_system is None:
                told = "This terminal has no colours to show swatches in."
                console(stderr=True).print(told, highlight=False)
        if confirm:
            told = f"Confirmed: {solver.second} proves the same."
            console(stderr=True).print(told, highlight=False)
        if outcome.status is not Status.BEST:
            raise typer.Exit(NO_KIT if outcome.status is Status.NO_KIT else OUT_OF_TIME)


def _sheet(
    goods: Catalogue,
    outcome: Outcome,
    why: NoKit | None,
    solver: Solver,
    seconds: float | None,
    reader: Reader,
    copies: int,
) -> str:
    from kitsolver.explain.around import around
    from kitsolver.show.sheet import sheet

    beside = None
    if outcome.kit is not None and reader is Reader.CUSTOMER:
        with bar("looking around"):
            beside = around(goods, outcome.brief, solver=solver, seconds=seconds)
    return sheet.sheet_html(outcome, why, beside, sheet.Reader(reader.value), copies)
