"""``kitsolver pick``."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, NamedTuple

import typer

from kitsolver.cli.command_errors import NO_KIT, OUT_OF_TIME, command_errors
from kitsolver.cli.console import console, print_error, progress_bar
from kitsolver.cli.options import CapText, Engine, JsonFile, Reader, Solver
from kitsolver.cli.packing import ShopRows, refuse_shortage
from kitsolver.cli.results import one_to_stdout, write, write_json
from kitsolver.cli.sources import Sources, takes_sources

if TYPE_CHECKING:
    from kitsolver.explain.no_kit.why_no_kit import NoKit
    from kitsolver.shop.catalogue import Catalogue
    from kitsolver.solve.outcome import Outcome
    from kitsolver.solve.time_limit import TimeLimit


class SheetWish(NamedTuple):
    """What the sheet to print is to be like."""

    reader: Reader
    copies: int
    full: bool
    shelf: str


@takes_sources
def pick(
    sources: Sources,
    cap: CapText = None,
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
    copies: Annotated[int, typer.Option(min=1, help="How many such kits the shop packs.")] = 1,
    full: Annotated[
        bool, typer.Option("--full", help="Add the ladder and every check to the customer's sheet.")
    ] = False,
    shelf: Annotated[
        str, typer.Option(metavar="COLUMN", help="The shop's column that says where goods lie.")
    ] = "shelf",
    home_after: Annotated[
        str | None,
        typer.Option(metavar="F", help="Write the home list as it is once the kit is made (CSV)."),
    ] = None,
    bundle_row: Annotated[
        str | None,
        typer.Option(metavar="F", help="Write a row for the bundle as the shop's file has rows."),
    ] = None,
    bundle_sku: Annotated[
        str, typer.Option(metavar="SKU", help="The sku of the bundle's row.")
    ] = "BUNDLE",
    stock_after: Annotated[
        str | None,
        typer.Option(metavar="F", help="Write the shop's rows whose stock packing changes."),
    ] = None,
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
) -> None:
    """Pick the best kit under the cap."""
    with command_errors():
        from kitsolver.solve.time_limit import TimeLimit

        # Imports count in.
        time_limit = TimeLimit(seconds)
        from kitsolver.explain.answer import answer
        from kitsolver.show.terminal import show_outcome
        from kitsolver.solve.outcome import Status

        rows = ShopRows(bundle_row, bundle_sku, stock_after, copies)
        only_data = one_to_stdout(
            json=json, csv=csv, html=html, **{"home-after": home_after}, **rows.files
        )
        brief, catalogue = sources.read(cap, keep_written=rows.asked)
        rows.check(catalogue)
        if home_after is not None:
            _check_home_after(home_after, catalogue)
        with progress_bar("picking") as progress:
            outcome, why = answer(
                catalogue,
                brief,
                engine=engine,
                solver=solver,
                seconds=time_limit.left,
                confirm=confirm,
                progress=progress,
                validated=True,
            )
        if json is not None:
            from kitsolver.show.kit_record import record_of

            write_json(json, record_of(outcome, why))
        if csv is not None:
            from kitsolver.show.buying_list import buying_list

            write(csv, buying_list(outcome, catalogue))
        if html is not None or rows.asked or copies > 1:
            refuse_shortage(outcome, catalogue, copies)
        rows.write(outcome, catalogue)
        if html is not None:
            wished = SheetWish(reader, copies, full, shelf)
            write(html, _sheet(catalogue, outcome, why, solver, time_limit, wished))
        if home_after is not None:
            _write_home_after(home_after, outcome, catalogue)
        if not only_data:
            out = console()
            show_outcome(outcome, out, why, swatches=swatches)
            if swatches and out.color_system is None:
                print_error("This terminal has no colours to show swatches in.")
        if outcome.confirmed:
            print_error(f"Confirmed: {solver.second} proves the same.")
        elif confirm:
            print_error(f"Not confirmed: time ran out before {solver.second} proved the same.")
        if outcome.status is not Status.BEST:
            raise typer.Exit(NO_KIT if outcome.status is Status.NO_KIT else OUT_OF_TIME)


def _check_home_after(target: str, catalogue: Catalogue) -> None:
    """Refuse to write a home list where there is none, and to write it over itself."""
    from kitsolver.show.home_after import same_file

    option = "--home-after"
    if catalogue.home is None:
        raise typer.BadParameter("no home list is named", param_hint=option)
    if same_file(catalogue.home.name, target):
        raise typer.BadParameter("a home list is never written over itself", param_hint=option)


def _write_home_after(target: str, outcome: Outcome, catalogue: Catalogue) -> None:
    """Write the home list as it is once the kit is made."""
    from kitsolver.show.home_after import home_after

    if outcome.kit is not None and catalogue.home is not None:
        write(target, home_after(catalogue.home, outcome.kit))
    else:
        print_error("There is no kit, so the home list stays as it is, and none is written.")


def _sheet(
    catalogue: Catalogue,
    outcome: Outcome,
    why: NoKit | None,
    solver: Solver,
    time_limit: TimeLimit,
    wished: SheetWish,
) -> str:
    """Return the sheet to print."""
    from kitsolver.explain.around import around
    from kitsolver.show.sheet import sheet
    from kitsolver.show.sheet.paper import Paper

    beside = None
    if outcome.kit is not None and wished.full and wished.reader is Reader.CUSTOMER:
        with progress_bar("looking around"):
            beside = around(catalogue, outcome.brief, solver=solver, seconds=time_limit.left)
    paper = Paper(catalogue, full=wished.full, shelf=wished.shelf)
    reader = sheet.Reader(wished.reader.value)
    return sheet.sheet_html(outcome, why, beside, reader, wished.copies, paper)
