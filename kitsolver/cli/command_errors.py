"""How commands end: what went wrong becomes a message on standard error and an exit code."""

from __future__ import annotations

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
        yield
    except (typer.Exit, typer.BadParameter):
        raise
    except KeyboardInterrupt:
        raise typer.Exit(INTERRUPTED) from None
    except output.OutputUnwritable as fault:
        raise typer.Exit(output.tell(fault)) from None
    except Exception as fault:
        raise typer.Exit(_told(fault)) from None


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
