"""Writes results to files and to standard output. A file is written whole or not at all."""

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
    """Write text or bytes to a file, or to standard output, which is named ``-``.

    Raises
    ------
    BadInput
        If the file cannot be written. What it held before is then unchanged.
    """
    if target == STANDARD_OUTPUT:
        _write_to_stdout(content)
        return
    path, written = Path(target), content.encode() if isinstance(content, str) else content
    try:
        # A device or a pipe cannot be replaced. A file is replaced once the new one is complete.
        if path.exists() and not path.is_file():
            path.write_bytes(written)
            return
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        draft = Path(name)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(written)
            # Only the owner can read a temporary file. The result gets the usual permissions.
            draft.chmod(path.stat().st_mode if path.exists() else 0o666 & ~_umask())
            draft.replace(path)
        except BaseException:
            draft.unlink()
            raise
    except OSError as fault:
        detail = (fault.strerror or "unwritable").lower()
        raise BadInput([Unwritable(file=target, detail=detail)]) from None


def _write_to_stdout(content: str | bytes) -> None:
    """Write the same bytes as a file would have, whatever the encoding of standard output."""
    sys.stdout.flush()
    # A notebook's output takes text only.
    buffer = getattr(sys.stdout, "buffer", None)
    if buffer is None:
        sys.stdout.write(content if isinstance(content, str) else content.decode(errors="replace"))
    else:
        buffer.write(content.encode() if isinstance(content, str) else content)


def _umask() -> int:
    umask = os.umask(0)
    os.umask(umask)
    return umask
