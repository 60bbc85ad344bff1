"""``kitsolver range``."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from kitsolver.cli.command_errors import NO_KIT, OUT_OF_TIME, command_errors, console, map_of
from kitsolver.cli.options import CatalogueFile, Columns, JsonFile, Seconds, SkipBadRows, Solver

if TYPE_CHECKING:
    from kitsolver.shop.catalogue import Catalogue


def range_(
    catalogue: CatalogueFile,
    asked: Annotated[
        str,
        typer.Argument(
            metavar="RANGE", help="The kits, a TOML file; or a saved KIT.json, to be counted."
        ),
    ],
    json: JsonFile = None,
    out: Annotated[
        str | None,
        typer.Option(metavar="DIR", help="Write each kit's buying list and picking sheet there."),
    ] = None,
    solver: Annotated[
        Solver, typer.Option(help="The mixed-integer solver, where one is needed.")
    ] = Solver.SCIP,
    seconds: Seconds = None,
    columns: Columns = None,
    skip_bad_rows: SkipBadRows = False,
) -> None:
    """Make several kits from one stock, none taking what another needs.

    With a kit that pick --json saved: how many copies of it the stock makes.
    """
    with command_errors():
        from kitsolver.show.files import STANDARD_OUTPUT, write_whole
        from kitsolver.show.json_record import json_text

        def goods(currency: str) -> Catalogue:
            from kitsolver.shop.reading import read_catalogue
            from kitsolver.show.terminal import show_findings

            read = read_catalogue(
                catalogue,
                currency=currency,
                skip_bad_rows=skip_bad_rows,
                mapping=map_of(columns),
            )
            show_findings(read.findings, console(stderr=True))
            return read

        if asked.lower().endswith(".json"):
            if out is not None:
                raise typer.BadParameter("is for a range, not for one kit", param_hint="--out")
            from kitsolver.explain.copies import copies_of
            from kitsolver.explain.recheck.saved import read_saved
            from kitsolver.show.range import copies_record, show_copies

            saved = read_saved(asked)
            counted = copies_of(saved, goods(saved.brief.currency))
            if json is not None:
                write_whole(json, json_text(copies_record(counted)))
            if json != STANDARD_OUTPUT:
                show_copies(counted, console())
            return

        from kitsolver.brief.range import read_range
        from kitsolver.explain.range import why_lacking
        from kitsolver.show.range import range_record, show_range
        from kitsolver.show.terminal import show_findings
        from kitsolver.solve.outcome import Status
        from kitsolver.solve.ranges.range import pick_range, validate_range_against

        kits = read_range(asked)
        shop = goods(kits.currency)
        show_findings(validate_range_against(kits, shop), console(stderr=True))
        found = pick_range(shop, kits, solver=solver, seconds=seconds)
        why = why_lacking(found, shop, solver=solver)
        if json is not None:
            write_whole(json, json_text(range_record(found, why)))
        if out is not None:
            from kitsolver.show.sheet.range_sheets import write_sheets

            write_sheets(out, found, shop)
        if json != STANDARD_OUTPUT:
            show_range(found, console(), why)
        if found.status is Status.NO_KIT:
            raise typer.Exit(NO_KIT)
        if found.status is Status.BEST_SO_FAR:
            raise typer.Exit(OUT_OF_TIME)
