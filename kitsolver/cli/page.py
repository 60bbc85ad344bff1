"""``kitsolver page``."""

from __future__ import annotations

from typing import Annotated

import typer

from kitsolver.cli.command_errors import command_errors, console, map_of
from kitsolver.cli.options import Columns, SkipBadRows


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
    skip_bad_rows: SkipBadRows = False,
) -> None:
    """Show the same on a local web page, for this machine only."""
    with command_errors():
        import uvicorn

        from kitsolver.brief.reading import read_brief
        from kitsolver.brief.validate_against import validate_against
        from kitsolver.page.address import Address
        from kitsolver.page.app import application
        from kitsolver.page.demo import demo
        from kitsolver.page.serving import opened
        from kitsolver.shop.reading import read_catalogue
        from kitsolver.shop.sources import bytes_of
        from kitsolver.shop.tables import shown
        from kitsolver.show.terminal import show_findings

        start = Address({}, skip_bad_rows=skip_bad_rows)
        first, brief_file = map(str, demo()) if catalogue is None else (catalogue, brief)
        asked = read_brief(brief_file) if brief_file else None
        currency = asked.currency if asked else None
        mapping = map_of(columns)
        goods = read_catalogue(
            first, currency=currency, skip_bad_rows=skip_bad_rows, mapping=mapping
        )
        warnings = goods.findings
        if asked is not None and brief_file:
            start = start.asking(asked)
            warnings = (*warnings, *validate_against(asked, goods, brief_file))
        show_findings(warnings, console(stderr=True))
        socket = opened(port)
        address = f"http://127.0.0.1:{socket.getsockname()[1]}/"

        def ready() -> None:
            told = f"The page is at {address} for this machine only. Ctrl-C ends it."
            console(stderr=True).print(told, highlight=False, soft_wrap=True)
            if browse:
                typer.launch(address)

        name = shown(first).rpartition("/")[2]
        app = application(name, bytes_of(first, mapping), start, ready)
        config = uvicorn.Config(app, log_level="warning", access_log=False, lifespan="on")
        uvicorn.Server(config).run(sockets=[socket])
