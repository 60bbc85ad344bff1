"""``kitsolver recheck``."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from kitsolver.cli.command_errors import NO_KIT, command_errors
from kitsolver.cli.console import console, progress_bar
from kitsolver.cli.options import (
    CatalogueFile,
    Columns,
    Home,
    HomeColumns,
    JsonFile,
    Reads,
    Seconds,
    SkipBadRows,
)
from kitsolver.cli.results import write_json
from kitsolver.cli.sources import column_map, read_goods


class Against(StrEnum):
    """Which kit of today a saved kit is to become."""

    NEAREST = "nearest"
    BEST = "best"


def recheck(
    kit: Annotated[str, typer.Argument(metavar="KIT.json", help="A kit that pick --json saved.")],
    catalogue: CatalogueFile,
    against: Annotated[
        Against, typer.Option(help="The kit to change it into: fewest lines, or the best.")
    ] = Against.NEAREST,
    json: JsonFile = None,
    seconds: Seconds = None,
    columns: Columns = None,
    reads: Reads = None,
    skip_bad_rows: SkipBadRows = False,
    home: Home = None,
    home_columns: HomeColumns = None,
) -> None:
    """Say whether a saved kit is still good today."""
    with command_errors():
        from kitsolver.solve.time_limit import TimeLimit

        # Imports count in.
        time_limit = TimeLimit(seconds)
        from kitsolver.explain.recheck.at_home import with_home_of
        from kitsolver.explain.recheck.recheck import recheck as check_again
        from kitsolver.explain.recheck.saved import read_saved
        from kitsolver.show.findings import show_findings
        from kitsolver.show.recheck import recheck_record, show_recheck

        saved = read_saved(kit)
        goods = read_goods(
            catalogue, saved.brief.currency, column_map(columns, reads), skip_bad_rows
        )
        saved, goods, findings = with_home_of(
            saved, goods, home=home, home_columns=home_columns, skip_bad_rows=skip_bad_rows
        )
        show_findings(findings, console(stderr=True))
        with progress_bar("checking again") as progress:
            found = check_again(saved, goods, seconds=time_limit.left, progress=progress)
        show_findings(found.findings, console(stderr=True))
        mended = found.nearest if against is Against.NEAREST else found.best
        if not write_json(json, recheck_record(found, mended)):
            show_recheck(found, mended, console())
        if not found.stands:
            raise typer.Exit(NO_KIT)
