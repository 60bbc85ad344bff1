"""Standard output and standard error, whatever is at their other end.

- The reader has gone (``| head -1``): the rest is dropped, and the command goes on to its own end.
- The output cannot be written (a full disk, a closed descriptor): `OutputUnwritable`.
- The encoding lacks a character (``×`` in ASCII): a plain one is written instead.
"""

from __future__ import annotations

import codecs
import io
import os
import sys
import unicodedata
from typing import TYPE_CHECKING, TextIO

if TYPE_CHECKING:
    from _typeshed import ReadableBuffer

_PLAIN = {
    "×": "x",
    "“": '"',
    "”": '"',
    "‘": "'",
    "’": "'",
    "…": "...",
    "–": "-",
    "·": "-",
    "★": "*",
}
_ERRORS = "kitsolver.plain"


class OutputUnwritable(Exception):
    """Standard output cannot be written; `detail` says why."""

    def __init__(self, detail: str) -> None:
        super().__init__(detail)
        self.detail = detail


class _Stream(io.FileIO):
    """A standard stream as bytes.

    Parameters
    ----------
    descriptor : int
        The file descriptor.
    closed_before : bool
        Whether it was closed when the program began.
    """

    def __init__(self, descriptor: int, *, closed_before: bool) -> None:
        super().__init__(descriptor, "w", closefd=False)
        self._closed_before = closed_before
        self._dropped = False

    def write(self, data: ReadableBuffer, /) -> int:
        length = memoryview(data).nbytes
        if self._dropped:
            return length
        try:
            if not self._closed_before:
                return super().write(data)
            detail = "it is closed"
        except BrokenPipeError:
            self._dropped = True
            return length
        except OSError as fault:
            detail = (fault.strerror or "unwritable").lower()
        # What is still in the buffers cannot be written either.
        self._dropped = True
        if self.fileno() == 1:
            raise OutputUnwritable(detail)
        return length


def install() -> None:
    """Put the streams of this module in the place of standard output and standard error."""
    codecs.register_error(_ERRORS, _plainly)
    sys.stdout = _opened(1, sys.stdout)
    sys.stderr = _opened(2, sys.stderr)


def finished(code: int) -> int:
    """Write what is left, and return the exit code: `code`, or 2 if it cannot be written."""
    try:
        sys.stdout.flush()
    except OutputUnwritable as fault:
        code = tell(fault)
    sys.stderr.flush()
    return code


def tell(fault: OutputUnwritable) -> int:
    """Say on standard error that standard output cannot be written, and return the exit code."""
    from kitsolver.cli.console import console
    from kitsolver.show.files import Unwritable
    from kitsolver.show.findings import show_findings

    found = Unwritable(file="standard output", detail=fault.detail)
    show_findings([found], console(stderr=True))
    return 2


def _opened(descriptor: int, stream: TextIO | None) -> TextIO:
    """Return a stream of this module that is like `stream`, which is None if it was closed."""
    if stream is None:
        # The descriptor must not go to the next file that is opened: libraries may print to it.
        null = os.open(os.devnull, os.O_WRONLY)
        if null != descriptor:
            os.dup2(null, descriptor)
            os.close(null)
    else:
        stream.flush()
    raw = _Stream(descriptor, closed_before=stream is None)
    return io.TextIOWrapper(
        io.BufferedWriter(raw),
        encoding=(stream and stream.encoding) or "utf-8",
        errors=_ERRORS,
        line_buffering=descriptor == 2 or raw.isatty(),
    )


def _plainly(fault: UnicodeError) -> tuple[str, int]:
    """Return plain characters for those that the output's encoding lacks."""
    if not isinstance(fault, UnicodeEncodeError):
        raise fault
    lacking = fault.object[fault.start : fault.end]
    return "".join(map(_plain, lacking)), fault.end


def _plain(character: str) -> str:
    parts = unicodedata.normalize("NFKD", character)
    return _PLAIN.get(character) or "".join(filter(str.isascii, parts)) or "?"
