"""``kitsolver page``."""

from __future__ import annotations

import sys
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from kitsolver.cli import interrupts
from kitsolver.cli.command_errors import command_errors
from kitsolver.cli.console import console, print_error
from kitsolver.cli.options import Columns, Home, HomeColumns, Reads, SkipBadRows
from kitsolver.cli.sources import catalogue_errors, column_map

if TYPE_CHECKING:
    from kitsolver.page.worker_slot import WorkerSlot

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
    keep: Annotated[
        str | None,
        typer.Option(metavar="FOLDER", help="Keep goods, maps and kits there for the next time."),
    ] = None,
    shortcut: Annotated[
        str | None,
        typer.Option(
            metavar="F", help="Write a file that starts this page by a double click, and end."
        ),
    ] = None,
    columns: Columns = None,
    reads: Reads = None,
    skip_bad_rows: SkipBadRows = False,
    home: Home = None,
    home_columns: HomeColumns = None,
) -> None:
    """Show the same on a local web page, for this machine only."""
    asked = _Asked(
        catalogue, brief, port, keep, columns, reads or [], skip_bad_rows, home, home_columns
    )
    with command_errors():
        if shortcut is not None:
            _write_shortcut(shortcut, asked)
            return
        from kitsolver.page.heap import use_one_heap
        from kitsolver.page.worker_slot import WorkerSlot

        use_one_heap()
        first = WorkerSlot()
        try:
            # It imports what it needs while this process does. If it cannot, the pool tries again.
            with suppress(OSError), interrupts.putting_off():
                first.start()
            _serve(asked, browse, first)
        finally:
            first.stop()


@dataclass(frozen=True)
class _Asked:
    """What the page is started with."""

    catalogue: str | None
    brief: str | None
    port: int
    keep: str | None
    columns: str | None
    reads: list[str]
    skip_bad_rows: bool
    home: str | None
    home_columns: str | None


def _serve(given: _Asked, browse: bool, first: WorkerSlot) -> None:
    """Serve the page as it is asked for until it is stopped."""
    from kitsolver.brief.home_keys import HomeKeys
    from kitsolver.brief.home_source import read_list
    from kitsolver.brief.reading import read_brief
    from kitsolver.brief.validate_against import validate_against
    from kitsolver.page.address import Address
    from kitsolver.page.app import application
    from kitsolver.page.demo import demo
    from kitsolver.page.garbage import keep_what_is_there
    from kitsolver.page.kept_folder import KeptFolder
    from kitsolver.page.serving import open_socket, serve
    from kitsolver.shop.home.home_reading import with_home
    from kitsolver.shop.reading import catalogue_of
    from kitsolver.shop.source import read_source
    from kitsolver.shop.sources.source_address import SourceAddress
    from kitsolver.show.findings import show_summary

    catalogue = given.catalogue
    source, brief_file = map(str, demo()) if catalogue is None else (catalogue, given.brief)
    asked = read_brief(brief_file) if brief_file else None
    # Read once: a pipe has nothing left for a second reading.
    rows = read_source(source, mapping=column_map(given.columns, given.reads), keep_bytes=True)
    currency = asked.currency if asked else None
    with catalogue_errors():
        goods = catalogue_of(rows, currency=currency, skip_bad_rows=given.skip_bad_rows)
    warnings = goods.findings
    said, listed = read_list(
        asked.home if asked else HomeKeys(),
        folder=Path(brief_file or "").parent,
        home=given.home,
        home_columns=given.home_columns,
        keep_bytes=True,
    )
    if listed is not None:
        goods, of_list = with_home(goods, listed, quality=said.quality)
        warnings = (*warnings, *of_list)
    if asked is not None:
        # The page has the list itself: no address names a file.
        quality = HomeKeys(quality=said.quality)
        asked = asked.model_copy(update={"home": quality})
    start, example = Address({}, skip_bad_rows=given.skip_bad_rows), None
    if asked is not None and brief_file:
        # The demo begins with the sentence to complete, and has its kit to look at.
        if catalogue is None:
            example = start.asking(asked)
        else:
            start = start.asking(asked)
        warnings = (*warnings, *validate_against(asked, goods, brief_file))
    show_summary(warnings, console(stderr=True))
    folder = KeptFolder(Path(given.keep)) if given.keep is not None else None
    socket = open_socket(given.port)
    address = f"http://127.0.0.1:{socket.getsockname()[1]}/"

    def ready() -> None:
        keep_what_is_there()
        print_error(f"The page is at {address} for this machine only. Ctrl-C ends it.")
        if browse:
            typer.launch(address)

    with interrupts.cleaning_up(_STOPPING_SECONDS):
        name = SourceAddress(source).name
        home = None
        if listed is not None:
            home = SourceAddress(said.source or listed.name).name, listed.csv_bytes
        app = application(name, rows.csv_bytes, start, ready, example, folder, home, first)
        serve(app, socket)


def _write_shortcut(file: str, given: _Asked) -> None:
    """Write a file that starts the page as it is asked for, with the browser."""
    from kitsolver.page.shortcut import write_shortcut
    from kitsolver.shop.sources.files import is_there

    def whole(path: str | None) -> list[str]:
        # A double click starts in another folder. What is no file is left as it is.
        return [str(Path(path).resolve()) if is_there(path) else path] if path else []

    command = [sys.executable, "-m", "kitsolver", "page"]
    command += [*whole(given.catalogue), *whole(given.brief)]
    command += ["--keep", str(Path(given.keep).resolve())] if given.keep else []
    for option, path in (
        ("--columns", given.columns),
        ("--home", given.home),
        ("--home-columns", given.home_columns),
    ):
        command += [option, *whole(path)] if path else []
    command += [part for read in given.reads for part in ("--read", read)]
    command += ["--port", str(given.port), "--open", *["--skip-bad-rows"] * given.skip_bad_rows]
    write_shortcut(file, command)
    print_error(f"A double click on {file} starts the page.")
