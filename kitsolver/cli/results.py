"""Where results go: files, or standard output."""

from __future__ import annotations

from typing import TYPE_CHECKING

import typer

from kitsolver.cli import interrupts

if TYPE_CHECKING:
    from kitsolver.show.json_record import JsonObject


def write(target: str, content: str | bytes) -> None:
    """Write a result to a file, or to standard output if that is ``-``.

    Raises
    ------
    BadInput
        If it cannot be written there.
    """
    from kitsolver.show.files import write_whole

    # The draft of the file must go if Ctrl-C is pressed in the middle.
    with interrupts.cleaning_up():
        write_whole(target, content)


def write_json(target: str | None, record: JsonObject) -> bool:
    """Write a record where ``--json`` says, and tell whether that is standard output.

    Raises
    ------
    BadInput
        If it cannot be written there.
    """
    if target is None:
        return False
    from kitsolver.show.files import STANDARD_OUTPUT
    from kitsolver.show.json_record import json_text

    write(target, json_text(record))
    return target == STANDARD_OUTPUT


def one_to_stdout(**files: str | None) -> bool:
    """Tell whether data goes to standard output, where at most one of several options may write."""
    if not any(files.values()):
        return False
    from kitsolver.show.files import STANDARD_OUTPUT

    named = [f"--{name}" for name, file in files.items() if file == STANDARD_OUTPUT]
    if len(named) > 1:
        raise typer.BadParameter(f"{' and '.join(named)} cannot both write to standard output")
    return bool(named)
