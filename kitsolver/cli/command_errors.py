"""What every command keeps to: where things are read, shown and told, and how it ends."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from rich.console import Console

    from kitsolver.brief.brief import Brief
    from kitsolver.shop.catalogue import Catalogue
    from kitsolver.shop.mapping import ColumnMap
    from kitsolver.solve.search_result import Progress

NO_KIT, BAD_INPUT, OUT_OF_TIME, FAULT = 1, 2, 3, 70


def read_both(
    catalogue: str,
    brief: str,
    sets: list[str],
    cap: str | None,
    columns: str | None,
    skip_bad_rows: bool,
) -> tuple[Brief, Catalogue]:
    """Read both files; warnings go to standard error."""
    from kitsolver.brief.reading import read_brief
    from kitsolver.brief.validate_against import validate_against
    from kitsolver.shop.reading import read_catalogue
    from kitsolver.show.terminal import show_findings

    asked = read_brief(brief, sets=sets, cap=cap)
    goods = read_catalogue(
        catalogue,
        currency=asked.currency,
        skip_bad_rows=skip_bad_rows,
        mapping=map_of(columns),
    )
    warnings = (*goods.findings, *validate_against(asked, goods, brief))
    show_findings(warnings, console(stderr=True))
    return asked, goods


def map_of(columns: str | None) -> ColumnMap | None:
    """Return the map of columns that an option names, if any."""
    from kitsolver.shop.mapping import read_map

    return None if columns is None else read_map(columns)


def one_to_stdout(**files: str | None) -> bool:
    """Tell whether data goes to standard output, where only one of several options can write."""
    from kitsolver.show.files import STANDARD_OUTPUT

    there = [f"--{name}" for name, file in files.items() if file == STANDARD_OUTPUT]
    if len(there) > 1:
        raise typer.BadParameter(f"{' and '.join(there)} cannot both write to standard output")
    return bool(there)


def sum_of(text: str, brief: Brief, option: str) -> int:
    """Return a sum given on the command line, in the brief's minor units."""
    from decimal import Decimal

    if not re.fullmatch(r"[0-9]+(\.[0-9]+)?", text):
        raise typer.BadParameter(f"{text!r} is no sum such as 25.00", param_hint=option)
    try:
        return brief.minor(Decimal(text))
    except ValueError:
        told = f"{text} is finer than {brief.currency} goes"
        raise typer.BadParameter(told, param_hint=option) from None


def console(*, stderr: bool = False) -> Console:
    """Return the console of standard output, or of standard error."""
    from rich.console import Console

    found = Console(stderr=stderr, soft_wrap=False, emoji=False, markup=False)
    if not found.is_terminal:
        # Piped output is for reading too: neither endless lines nor narrow ones.
        found.width = 80
    return found


@contextmanager
def bar(doing: str) -> Iterator[Progress]:
    """Show a bar on standard error if work lasts over a second and someone is looking."""
    from threading import Timer

    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    err = console(stderr=True)
    if not err.is_terminal:
        yield lambda _done, _steps: None
        return
    columns = (TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn())
    shown = Progress(*columns, console=err, transient=True)
    task = shown.add_task(doing, total=None)
    timer = Timer(1.0, shown.start)
    timer.start()
    try:
        yield lambda done, steps: shown.update(task, completed=done, total=steps)
    finally:
        timer.cancel()
        timer.join()
        shown.stop()


@contextmanager
def command_errors() -> Iterator[None]:
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

    err = console(stderr=True)
    if isinstance(fault, BadInput):
        show_findings(fault.findings, err)
        return BAD_INPUT
    from kitsolver.solve.time_limit import OutOfTime

    if isinstance(fault, OutOfTime):
        err.print("The time limit passed before any kit was found.", highlight=False)
        err.print("hint: give more time, for example --seconds 60", highlight=False)
        return BAD_INPUT
    err.print(f"A fault of the program, {type(fault).__name__}: {fault}", highlight=False)
    return FAULT
