"""``kitsolver page``."""

from __future__ import annotations

from typing import Annotated

import typer

from kitsolver.cli import interrupts
from kitsolver.cli.command_errors import command_errors
from kitsolver.cli.console import console, print_error
from kitsolver.cli.options import Columns, Reads, SkipBadRows
from kitsolver.cli.sources import catalogue_errors, column_map

# How long the page may take to stop after Ctrl-C, in seconds.
_STOPPING_SECONDS = 5.0


def page(
    catalogue: Annotated[
        str | None,
        typer.Argument(metavar="[CATALOGUE]", help="The shop's CSV file; else the demo's."),
    ] = None,
    brief: Annotated[
        str | None, typer.Argument(metavar="[BRIEF]", help="What is asked, a TOML file.")
    ] = None,
    port: Annotated[
        int, typer.Option(min=0, max=65535, help="Where the page is; 0 takes any that is free.")
    ] = 8137,
    browse: Annotated[bool, typer.Option("--open", help="Open it in the browser.")] = False,
    columns: Columns = None,
    reads: Reads = None,
    skip_bad_rows: SkipBadRows = False,
) -> None:
    """Show the same on a local web page, for this machine only."""
    with command_errors():
        from kitsolver.brief.reading import read_brief
        from kitsolver.brief.validate_against import validate_against
        from kitsolver.page.address import Address
        from kitsolver.page.app import application
        from kitsolver.page.demo import demo
        from kitsolver.page.serving import open_socket, serve
        from kitsolver.shop.reading import catalogue_of
        from kitsolver.shop.source_address import SourceAddress
        from kitsolver.shop.sources import read_source
        from kitsolver.show.findings import show_summary

        source, brief_file = map(str, demo()) if catalogue is None else (catalogue, brief)
        asked = read_brief(brief_file) if brief_file else None
        # Read once: a pipe has nothing left for a second reading.
        rows = read_source(source, mapping=column_map(columns, reads), keep_bytes=True)
        currency = asked.currency if asked else None
        with catalogue_errors():
            goods = catalogue_of(rows, currency=currency, skip_bad_rows=skip_bad_rows)
        warnings = goods.findings
        start, example = Address({}, skip_bad_rows=skip_bad_rows), None
        if asked is not None and brief_file:
            # The demo begins with the sentence to complete, and has its kit to look at.
            if catalogue is None:
                example = start.asking(asked)
            else:
                start = start.asking(asked)
            warnings = (*warnings, *validate_against(asked, goods, brief_file))
        show_summary(warnings, console(stderr=True))
        socket = open_socket(port)
        address = f"http://127.0.0.1:{socket.getsockname()[1]}/"

        def ready() -> None:
            print_error(f"The page is at {address} for this machine only. Ctrl-C ends it.")
            if browse:
                typer.launch(address)

        with interrupts.cleaning_up(_STOPPING_SECONDS):
            name = SourceAddress(source).name
            serve(application(name, rows.csv_bytes, start, ready, example), socket)
