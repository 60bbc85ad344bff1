"""The command line. Each command is a few lines: read, call, show.

What is heavy is imported where it is used, so that ``--help`` answers at once.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from rich.console import Console

    from kitsolver.brief.asked import Brief
    from kitsolver.shop.catalogue import Catalogue
    from kitsolver.solve.best import Progress

NO_KIT, BAD_INPUT, OUT_OF_TIME, FAULT = 1, 2, 3, 70

app = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    # Plain help: rich alone takes as long to import as all the rest.
    rich_markup_mode=None,
    help="The provably best counted cross-stitch kit under a cap.",
)


class Engine(StrEnum):
    """The engines, named here so that help needs none of them."""

    BY_CHART = "bychart"
    ONE_SHOT = "oneshot"


class Solver(StrEnum):
    """The solvers, named here likewise."""

    HIGHS = "highs"
    SCIP = "scip"
    CP_SAT = "cp-sat"


CatalogueFile = Annotated[str, typer.Argument(metavar="CATALOGUE", help="The shop's CSV file.")]
BriefFile = Annotated[str, typer.Argument(metavar="BRIEF", help="What is asked, a TOML file.")]
JsonFile = Annotated[
    str | None, typer.Option("--json", metavar="F", help="Write the result as JSON; - is stdout.")
]
SkipBadRows = Annotated[
    bool, typer.Option("--skip-bad-rows", help="Go on without the rows that have findings.")
]


@app.callback(invoke_without_command=True)
def _program(
    version: Annotated[bool, typer.Option("--version", help="Show the version.")] = False,
) -> None:
    if version:
        from importlib.metadata import version as version_of

        typer.echo(f"kitsolver {version_of('kitsolver')}")
        raise typer.Exit


@app.command()
def check(
    catalogue: CatalogueFile,
    brief: Annotated[
        str | None, typer.Argument(metavar="[BRIEF]", help="Also hold this brief against it.")
    ] = None,
    currency: Annotated[
        str | None, typer.Option(metavar="CODE", help="The prices' currency, if no brief says it.")
    ] = None,
    json: JsonFile = None,
    most: Annotated[
        int | None, typer.Option("--most", min=0, help="Show at most so many findings.")
    ] = None,
) -> None:
    """Show every finding in a catalogue."""
    with _manners():
        from kitsolver.show.checked import all_findings
        from kitsolver.show.files import STANDARD_OUTPUT, write_whole
        from kitsolver.show.record import findings_record, json_text
        from kitsolver.show.terminal import show_findings

        rows, findings = all_findings(catalogue, brief, currency)
        if json is not None:
            write_whole(json, json_text(findings_record(catalogue, rows, findings)))
        if json != STANDARD_OUTPUT:
            console = _console()
            show_findings(findings, console, most)
            errors = sum(not finding.warning for finding in findings)
            warnings = len(findings) - errors
            told = f"{catalogue}: usable rows {rows}, errors {errors}, warnings {warnings}"
            console.print(told, highlight=False, soft_wrap=True)
        if any(not finding.warning for finding in findings):
            raise typer.Exit(BAD_INPUT)


@app.command()
def pick(
    catalogue: CatalogueFile,
    brief: BriefFile,
    cap: Annotated[
        str | None, typer.Option(metavar="X", help="Replace the brief's cap; for the whole order.")
    ] = None,
    sets: Annotated[
        list[str] | None,
        typer.Option("--set", metavar="KEY=VALUE", help="Replace any key of the brief."),
    ] = None,
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
    with _manners():
        from kitsolver.show.buying_list import buying_list
        from kitsolver.show.files import STANDARD_OUTPUT, write_whole
        from kitsolver.show.record import json_text, record_of
        from kitsolver.show.terminal import show_outcome
        from kitsolver.solve import pick as picking
        from kitsolver.solve import solver as solving
        from kitsolver.solve.outcome import Status

        if json == csv == STANDARD_OUTPUT:
            raise typer.BadParameter("--json and --csv cannot both write to standard output")
        asked, goods = _read(catalogue, brief, sets or [], cap, skip_bad_rows)
        behind = solving.Solver(solver.value)
        with _progress("picking") as progress:
            outcome = picking.pick(
                goods,
                asked,
                engine=picking.Engine(engine.value),
                solver=behind,
                seconds=seconds,
                confirm=confirm,
                progress=progress,
            )
        if json is not None:
            write_whole(json, json_text(record_of(outcome)))
        if csv is not None:
            write_whole(csv, buying_list(outcome, goods))
        if STANDARD_OUTPUT not in (json, csv):
            show_outcome(outcome, _console())
        if confirm:
            told = f"Confirmed: {behind.second} proves the same."
            _console(stderr=True).print(told, highlight=False)
        if outcome.status is not Status.BEST:
            raise typer.Exit(NO_KIT if outcome.status is Status.NO_KIT else OUT_OF_TIME)


def _read(
    catalogue: str, brief: str, sets: list[str], cap: str | None, skip_bad_rows: bool
) -> tuple[Brief, Catalogue]:
    """Read both files; warnings go to standard error."""
    from kitsolver.brief.against import hold_against
    from kitsolver.brief.reading import read_brief
    from kitsolver.shop.reading import read_catalogue
    from kitsolver.show.terminal import show_findings

    asked = read_brief(brief, sets=sets, cap=cap)
    goods = read_catalogue(catalogue, currency=asked.currency, skip_bad_rows=skip_bad_rows)
    warnings = (*goods.findings, *hold_against(asked, goods, brief))
    show_findings(warnings, _console(stderr=True))
    return asked, goods


def _console(*, stderr: bool = False) -> Console:
    from rich.console import Console

    console = Console(stderr=stderr, soft_wrap=False, emoji=False, markup=False)
    # Piped output is for reading too: neither endless lines nor narrow ones.
    return (
        console
        if console.is_terminal
        else Console(stderr=stderr, soft_wrap=False, emoji=False, markup=False, width=80)
    )


@contextmanager
def _progress(doing: str) -> Iterator[Progress]:
    """Show a bar on standard error if work lasts over a second and someone is looking."""
    from threading import Timer

    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    console = _console(stderr=True)
    if not console.is_terminal:
        yield lambda _done, _steps: None
        return
    columns = (TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn())
    bar = Progress(*columns, console=console, transient=True)
    task = bar.add_task(doing, total=None)
    timer = Timer(1.0, bar.start)
    timer.start()
    try:
        yield lambda done, steps: bar.update(task, completed=done, total=steps)
    finally:
        timer.cancel()
        timer.join()
        bar.stop()


@contextmanager
def _manners() -> Iterator[None]:
    """Turn what went wrong into a message on standard error and an exit code."""
    try:
        yield
    except (typer.Exit, typer.BadParameter):
        raise
    except BrokenPipeError:
        # The reader of our output has gone; there is nobody to tell.
        sys.stderr.close()
        raise typer.Exit(0) from None
    except KeyboardInterrupt:
        raise typer.Exit(130) from None
    except Exception as fault:
        raise typer.Exit(_told(fault)) from None


def _told(fault: Exception) -> int:
    from kitsolver.shop.findings import BadInput
    from kitsolver.show.terminal import show_findings

    console = _console(stderr=True)
    if isinstance(fault, BadInput):
        show_findings(fault.findings, console)
        return BAD_INPUT
    from kitsolver.solve.best import OutOfTime

    if isinstance(fault, OutOfTime):
        console.print("The time limit passed before any kit was found.", highlight=False)
        console.print("hint: give more time, for example --seconds 60", highlight=False)
        return BAD_INPUT
    console.print(f"A fault of the program, {type(fault).__name__}: {fault}", highlight=False)
    return FAULT


def main() -> None:
    """Run the command line."""
    app()
