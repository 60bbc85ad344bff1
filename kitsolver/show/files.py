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


def write_whole(target: str, content: str | bytes) -> None:
    """Write text, or bytes as they are, to a file, or to standard output if it is ``-``.

    Raises
    ------
    BadInput
        If the file cannot be written; what stood there before still does.
    """
    if target == STANDARD_OUTPUT and isinstance(content, str):
        sys.stdout.write(content)
        return
    path, written = Path(target), content.encode() if isinstance(content, str) else content
    try:
        # A device or pipe is written to as it is; a file is put in place when complete.
        if path.exists() and not path.is_file():
            path.write_bytes(written)
            return
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        draft = Path(name)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(written)
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
