"""How commands end: what went wrong becomes a message on standard error and an exit code."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager

import typer

from kitsolver.cli import output
from kitsolver.cli.console import console, print_error
from kitsolver.cli.interrupts import INTERRUPTED

NO_KIT, BAD_INPUT, OUT_OF_TIME, FAULT = 1, 2, 3, 70


@contextmanager
def command_errors() -> Iterator[None]:
    """Turn what goes wrong in the block into a message on standard error and an exit code."""
    try:
        _import_pandas()
        yield
    except (typer.Exit, typer.BadParameter):
        raise
    except KeyboardInterrupt:
        raise typer.Exit(INTERRUPTED) from None
    except output.OutputUnwritable as fault:
        raise typer.Exit(output.tell(fault)) from None
    except Exception as fault:
        raise typer.Exit(_told(fault)) from None


def _import_pandas() -> None:
    """Import pandas without pyarrow, which it imports wherever that is installed.

    Nothing here needs both, and pyarrow is a third of the import.
    """
    there = "pyarrow" in sys.modules
    if not there:
        sys.modules["pyarrow"] = None  # type: ignore[assignment] # Python's mark of a hidden module
    try:
        import pandas as pd  # noqa: F401 # every command needs it
    finally:
        if not there:
            del sys.modules["pyarrow"]


def _told(fault: Exception) -> int:
    """Tell what went wrong, and return the exit code."""
    from kitsolver.shop.findings import BadInput
    from kitsolver.show.findings import show_findings

    if isinstance(fault, BadInput):
        show_findings(fault.findings, console(stderr=True))
        return BAD_INPUT
    from kitsolver.solve.time_limit import OutOfTime

    if isinstance(fault, OutOfTime):
        print_error(
            "The time limit passed before any kit was found.",
            "hint: give more time, for example --seconds 60",
        )
        return BAD_INPUT
    print_error(f"A fault of the program, {type(fault).__name__}: {fault}")
    return FAULT
