"""Opens the files that users name: what cannot be opened is a finding, endless input is refused."""

from __future__ import annotations

import io
import os
import shutil
import stat
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import IO

from kitsolver.shop.findings import BadInput, Finding
from kitsolver.shop.sources.bounds import Reading
from kitsolver.shop.sources.file_findings import FileIsFolder, FileMissing, FileUnreadable

_AT_ONCE = 1 << 20
# What is copied from a pipe stays in memory up to this many bytes.
_IN_MEMORY = 1 << 26


def is_there(path: str) -> bool:
    """Tell whether there is something at a path, whatever it is."""
    try:
        Path(path).stat()
    except (OSError, ValueError):
        return False
    return True


@contextmanager
def opened(path: str, reading: Reading) -> Iterator[io.FileIO]:
    """Open a file for reading bytes, a pipe as it comes.

    Raises
    ------
    BadInput
        If it cannot be opened or read, or holds too many bytes.
    """
    try:
        file = Path(path).open("rb", buffering=0)  # noqa: SIM115 - closed below, after its user
    except ValueError as fault:
        # A name may hold a character that no path can, such as a NUL from a TOML file.
        raise BadInput([FileUnreadable(file=reading.name, detail=str(fault))]) from None
    except OSError as fault:
        raise BadInput([unreadable(fault, reading.name)]) from None
    with file:
        try:
            kind = os.fstat(file.fileno())
            if stat.S_ISREG(kind.st_mode):
                reading.check_size(kind.st_size)
            yield file
        except OSError as fault:
            raise BadInput([unreadable(fault, reading.name)]) from None


def unreadable(fault: OSError, name: str) -> Finding:
    """Return the finding of a file that the system does not open or read, by what it raised."""
    if isinstance(fault, FileNotFoundError):
        return FileMissing(file=name)
    if isinstance(fault, IsADirectoryError):
        return FileIsFolder(file=name)
    return FileUnreadable(file=name, detail=(fault.strerror or str(fault)).lower())


@contextmanager
def opened_with_places(path: str, reading: Reading) -> Iterator[IO[bytes]]:
    """Open a file in which a reader goes forth and back; of a pipe a copy is made.

    Raises
    ------
    BadInput
        As `opened` does.
    """
    with opened(path, reading) as file:
        if stat.S_ISREG(os.fstat(file.fileno()).st_mode):
            yield io.BufferedReader(file)
            return
        with tempfile.SpooledTemporaryFile(max_size=_IN_MEMORY) as copy:
            counted = io.BufferedReader(CountedBytes(file, replace(reading)), _AT_ONCE)
            shutil.copyfileobj(counted, copy, _AT_ONCE)
            copy.seek(0)
            yield copy


class CountedBytes(io.RawIOBase):
    """A file's bytes as they are read: counted, line by line too.

    Parameters
    ----------
    file : binary file
        Where they come from.
    reading : Reading
        What counts them.
    """

    def __init__(self, file: IO[bytes], reading: Reading) -> None:
        super().__init__()
        self._file = file
        self._reading = reading
        self._line = 0

    def readable(self) -> bool:
        """Return True: the file can be read."""
        return True

    def readinto(self, buffer: memoryview) -> int:  # type: ignore[override]
        """Read some bytes into a buffer and return how many."""
        piece = self._file.read(len(buffer))
        buffer[: len(piece)] = piece
        self._reading.add_size(len(piece))
        end = max(piece.rfind(b"\n"), piece.rfind(b"\r"))
        self._line = len(piece) - 1 - end + (self._line if end < 0 else 0)
        self._reading.check_row(self._line)
        return len(piece)


class TimedFile(io.RawIOBase):
    """A spreadsheet's bytes: every part of it is read through here, so a slow one can be ended.

    Parameters
    ----------
    file : binary file
        The workbook or other spreadsheet.
    reading : Reading
        What its time is held against.
    """

    def __init__(self, file: IO[bytes], reading: Reading) -> None:
        super().__init__()
        self._file = file
        self._reading = reading

    def readable(self) -> bool:
        """Return True: it can be read."""
        return True

    def seekable(self) -> bool:
        """Return True: it can be sought."""
        return True

    def seek(self, offset: int, whence: int = 0, /) -> int:
        """Go to a place."""
        return self._file.seek(offset, whence)

    def tell(self) -> int:
        """Return the place."""
        return self._file.tell()

    def readinto(self, buffer: memoryview) -> int:  # type: ignore[override]
        """Read some bytes into a buffer and return how many."""
        self._reading.check_time()
        piece = self._file.read(len(buffer))
        buffer[: len(piece)] = piece
        return len(piece)
