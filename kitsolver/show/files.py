"""Writes a result where the user says: whole or not at all."""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

from kitsolver.shop.findings import BadInput, Finding

STANDARD_OUTPUT = "-"


class Unwritable(Finding):
    """A result cannot be written where it was asked for."""

    says = "The result cannot be written there: {detail}."
    mend = "name a file in a folder that exists and may be written to"


def write_whole(target: str, text: str) -> None:
    """Write `text` to a file, or to standard output if `target` is ``-``.

    Raises
    ------
    BadInput
        If the file cannot be written; what stood there before still does.
    """
    if target == STANDARD_OUTPUT:
        sys.stdout.write(text)
        return
    path = Path(target)
    try:
        # A device or pipe is written to as it is; a file is put in place when complete.
        if path.exists() and not path.is_file():
            path.write_text(text, encoding="utf-8", newline="")
            return
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        draft = Path(name)
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="") as file:
                file.write(text)
            # A temporary file is the owner's alone; the result is to be as any new file.
            draft.chmod(path.stat().st_mode if path.exists() else 0o666 & ~_umask())
            draft.replace(path)
        except BaseException:
            draft.unlink()
            raise
    except OSError as fault:
        detail = (fault.strerror or "unwritable").lower()
        raise BadInput([Unwritable(file=target, detail=detail)]) from None


def _umask() -> int:
    umask = os.umask(0)
    os.umask(umask)
    return umask
