"""How the bytes of a text file are text: found out from all of its bytes."""

from __future__ import annotations

import codecs
import re
from dataclasses import dataclass
from itertools import count
from typing import IO

from kitsolver.shop.findings import BadInput, Finding
from kitsolver.shop.sources.bounds import Reading
from kitsolver.shop.sources.file_findings import AmbiguousEncoding, UndecodableByte

UTF_8, UTF_16 = "utf-8-sig", "utf-16"
WINDOWS_1252, ISO_8859_15 = "cp1252", "iso8859-15"

_NAMES = {
    "utf-8": "UTF-8",
    UTF_8: "UTF-8",
    UTF_16: "UTF-16",
    WINDOWS_1252: "Windows-1252",
    ISO_8859_15: "ISO 8859-15",
}
_UTF_16_MARKS = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
_AT_ONCE = 1 << 20
# Control characters in ISO 8859-15, and signs such as € or “ in Windows-1252.
_WINDOWS_ONLY = re.compile(rb"[\x80-\x9f]")
# Where the two differ beyond those.
_DIFFERENT = re.compile(rb"[\xa4\xa6\xa8\xb4\xb8\xbc\xbd\xbe]")
_UTF_8_LETTER = re.compile(
    rb"[\xc2-\xdf][\x80-\xbf]|[\xe0-\xef][\x80-\xbf]{2}|[\xf0-\xf4][\x80-\xbf]{3}"
)
# What a finding shows around a letter: the rest of its cell, as far as it is short.
_AROUND = rb"[^\s,;|\t\"]{0,20}"


@dataclass(frozen=True)
class Encoding:
    """How a file's bytes are decoded.

    Parameters
    ----------
    codec : str
        By a name that Python knows.
    findings : tuple of Finding
        A warning where another encoding would give different text.
    marked : bool
        Whether a file in UTF-8 begins with a byte order mark.
    """

    codec: str
    findings: tuple[Finding, ...] = ()
    marked: bool = False

    @property
    def name(self) -> str:
        """What people call it."""
        return encoding_name(self.codec)

    @property
    def to_write(self) -> str:
        """The codec that writes such a file, with a byte order mark if it has one."""
        return "utf-8" if self.codec == UTF_8 and not self.marked else self.codec


def encoding_name(codec: str) -> str:
    """Return what people call an encoding."""
    return _NAMES.get(codecs.lookup(codec).name, codec.upper())


def is_encoding(name: str) -> bool:
    """Tell whether a map may name an encoding: UTF-8, UTF-16, or one with a byte a character."""
    try:
        found = codecs.lookup(name)
        if found.name in ("utf-8", UTF_8, UTF_16, "utf-16-le", "utf-16-be"):
            return True
        every = bytes(range(256))
        text = every.decode(name, "replace")
    except (LookupError, ValueError):
        return False
    return len(text) == len(every) and text[:128].encode() == every[:128]


def encoding_of(file: IO[bytes], reading: Reading) -> Encoding:
    """Return how a file is decoded: as the map says, or else by all of its bytes.

    UTF-16 has a byte order mark. What is valid UTF-8 is UTF-8. Anything else is Windows-1252 if
    a byte from 80 to 9F occurs, else ISO 8859-15 if A4 occurs, else Windows-1252.

    Parameters
    ----------
    file : binary file
        Read from its start; afterwards it stands there again.
    reading : Reading
        The source's name, and its format as far as the map says it.

    Raises
    ------
    BadInput
        If it is UTF-16 by its mark and is not valid.
    """
    begin = file.read(4)
    file.seek(0)
    asked = reading.format.encoding
    codec = codecs.lookup(asked).name if asked else None
    if codec is None and begin.startswith(_UTF_16_MARKS):
        codec = UTF_16
    if codec is not None and codec.startswith(UTF_16):
        _check(file, codec, reading)
    elif codec is None and (begin.startswith(codecs.BOM_UTF8) or _is_utf_8(file)):
        codec = "utf-8"
    if codec is not None:
        marked = begin.startswith(codecs.BOM_UTF8)
        return Encoding(UTF_8 if codec == "utf-8" else codec, marked=marked)
    return _eight_bits(file, reading)


def _is_utf_8(file: IO[bytes]) -> bool:
    decoder = codecs.getincrementaldecoder("utf-8")()
    try:
        while piece := file.read(_AT_ONCE):
            decoder.decode(piece)
        decoder.decode(b"", final=True)
    except UnicodeDecodeError:
        return False
    finally:
        file.seek(0)
    return True


def _check(file: IO[bytes], codec: str, reading: Reading) -> None:
    """Refuse a file of several bytes a character that is not valid."""
    decoder = codecs.getincrementaldecoder(codec)()
    while True:
        piece = file.read(_AT_ONCE)
        try:
            decoder.decode(piece, final=not piece)
        except UnicodeDecodeError as fault:
            bad = f"0x{fault.object[fault.start]:02X}"
            name = encoding_name(codec)
            found = UndecodableByte(file=reading.name, value=bad, detail=name)
            raise BadInput([found]) from None
        if not piece:
            file.seek(0)
            return


def _eight_bits(file: IO[bytes], reading: Reading) -> Encoding:
    """Return which encoding of one byte a character a file has."""
    windows, euro = False, False
    while piece := file.read(_AT_ONCE):
        windows = windows or bool(_WINDOWS_ONLY.search(piece))
        euro = euro or b"\xa4" in piece
    file.seek(0)
    codec = ISO_8859_15 if euro and not windows else WINDOWS_1252
    other = WINDOWS_1252 if codec == ISO_8859_15 else ISO_8859_15
    # A file with bytes from 80 to 9F is not ISO 8859-15, but may be damaged UTF-8.
    findings = _ambiguous(file, reading, codec, "utf-8", _UTF_8_LETTER)
    if not (findings or windows):
        findings = _ambiguous(file, reading, codec, other, _DIFFERENT)
    file.seek(0)
    return Encoding(codec, findings)


def _ambiguous(
    file: IO[bytes], reading: Reading, codec: str, other: str, letters: re.Pattern[bytes]
) -> tuple[Finding, ...]:
    """Return the finding of the first text that another encoding reads differently."""
    around = re.compile(_AROUND + b"(?:" + letters.pattern + b")" + _AROUND)
    file.seek(0)
    for row in count(1):
        line = file.readline(_AT_ONCE)
        if not line:
            break
        if letters.search(line) and (word := around.search(line)):
            read, instead = (word[0].decode(each, "replace").strip() for each in (codec, other))
            detail = f"{encoding_name(codec)}; in {encoding_name(other)} it is {instead}"
            return (AmbiguousEncoding(file=reading.name, row=row, value=read, detail=detail),)
    return ()
