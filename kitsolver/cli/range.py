"""``kitsolver range``."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Annotated

import typer

from kitsolver.cli import interrupts
from kitsolver.cli.command_errors import NO_KIT, OUT_OF_TIME, command_errors
from kitsolver.cli.console import console, progress_bar
from kitsolver.cli.options import (
    CatalogueFile,
    Columns,
    JsonFile,
    Reads,
    Seconds,
    SkipBadRows,
    Solver,
)
from kitsolver.cli.results import write_json
from kitsolver.cli.sources import column_map, read_goods

if TYPE_CHECKING:
    from kitsolver.shop.catalogue import Catalogue
    from kitsolver.solve.time_limit import TimeLimit

# Reads the catalogue once the currency is known.
CatalogueReader = Callable[[str], "Catalogue"]


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
    reads: Reads = None,
    skip_bad_rows: SkipBadRows = False,
) -> None:
    """Make several kits from one stock, none taking what another needs.

    With a kit that pick --json saved: how many copies of it the stock makes.
    """
    with command_errors():
        from kitsolver.solve.time_limit import TimeLimit

        time_limit = TimeLimit(seconds)
        mapping = column_map(columns, reads)

        def read(currency: str) -> Catalogue:
            return read_goods(catalogue, currency, mapping, skip_bad_rows)

        if not asked.lower().endswith(".json"):
            _make_kits(asked, read, json, out, solver, time_limit)
        elif out is not None:
            raise typer.BadParameter("is for a range, not for one kit", param_hint="--out")
        else:
            _count_copies(asked, read, json)


def _count_copies(kit: str, read: CatalogueReader, json: str | None) -> None:
    """Say how many copies of a saved kit the stock makes."""
    from kitsolver.brief.range_findings import HomeListInRange
    from kitsolver.explain.copies import copies_of
    from kitsolver.explain.recheck.saved import read_saved
    from kitsolver.shop.findings import BadInput
    from kitsolver.show.range import copies_record, show_copies

    saved = read_saved(kit)
    if saved.home:
        found = HomeListInRange(file=kit, column="home", value=saved.home_name)
        raise BadInput([found])
    counted = copies_of(saved, read(saved.brief.currency))
    if not write_json(json, copies_record(counted)):
        show_copies(counted, console())


def _make_kits(
    asked: str,
    read: CatalogueReader,
    json: str | None,
    out: str | None,
    solver: Solver,
    time_limit: TimeLimit,
) -> None:
    """Find the kits of a range, and write and show them."""
    from kitsolver.brief.range import read_range
    from kitsolver.explain.range import why_lacking
    from kitsolver.show.findings import show_findings
    from kitsolver.show.range import range_record, show_range
    from kitsolver.solve.outcome import Status
    from kitsolver.solve.ranges.range import pick_range, validate_range_against

    kits = read_range(asked)
    catalogue = read(kits.currency)
    show_findings(validate_range_against(kits, catalogue), console(stderr=True))
    with progress_bar("making kits") as progress:
        found = pick_range(
            catalogue,
            kits,
            solver=solver,
            seconds=time_limit.left,
            progress=progress,
            validated=True,
        )
        why = why_lacking(found, catalogue, solver=solver, time_limit=time_limit)
    only_data = write_json(json, range_record(found, why))
    if out is not None:
        from kitsolver.show.sheet.range_sheets import write_sheets

        with interrupts.cleaning_up():
            write_sheets(out, found, catalogue)
    if not only_data:
        show_range(found, console(), why)
    if found.status is Status.NO_KIT:
        raise typer.Exit(NO_KIT)
    if found.status is Status.BEST_SO_FAR:
        raise typer.Exit(OUT_OF_TIME)
