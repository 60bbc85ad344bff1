"""A file that starts the page by a double click."""

from __future__ import annotations

import shlex
import subprocess
from collections.abc import Sequence
from pathlib import Path

from kitsolver.show.files import write_whole

_WINDOWS = (".bat", ".cmd")


def write_shortcut(file: str, command: Sequence[str]) -> None:
    """Write a file that runs a command: by its ending a batch file, a desktop entry or a script.

    Raises
    ------
    BadInput
        If it cannot be written.
    """
    ending = Path(file).suffix.lower()
    if ending in _WINDOWS:
        text = f"@echo off\r\n{subprocess.list2cmdline(command)}\r\n"
    elif ending == ".desktop":
        run = " ".join(_quoted(part) for part in command)
        text = f"[Desktop Entry]\nType=Application\nName=kitsolver\nTerminal=true\nExec={run}\n"
    else:
        text = f"#!/bin/sh\nexec {shlex.join(command)}\n"
    write_whole(file, text)
    if ending not in _WINDOWS:
        Path(file).chmod(0o755)


def _quoted(part: str) -> str:
    """Return a part of a command as a desktop entry has it."""
    escaped = "".join(f"\\{sign}" if sign in '"`$\\' else sign for sign in part)
    return '"' + escaped.replace("%", "%%") + '"'
