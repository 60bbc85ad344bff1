"""Mutates bytes: at random places, with pieces that have broken readers elsewhere."""

from __future__ import annotations

import io
import random
import zipfile
import zlib
from contextlib import suppress

PIECES = [
    *(b"\0", b"\xff", b"\xc3", b"\xed\xa0\x80", b"\xef\xbb\xbf", b"\xf4\x90\x80\x80", b"\x1a"),
    *(b'"', b'""', b"'", b"'''", b'"""', b"\\", b"\\u0000", b"\\ud800", b"\\U00110000"),
    *(b",", b";", b"\t", b"|", b"\n", b"\r", b"\r\n", b"=", b"#", b":", b"/", b"..", b" "),
    *(b"[", b"]", b"{", b"}", b"[[", b"(", b"<", b">", b"&", b"&#0;", b"<!--", b"]]>"),
    *(b"0", b"-1", b"1e999", b"-0.0", b"nan", b"inf", b"9" * 5000, b"1_000", b"0x1F", b"1e-400"),
    *(b"18446744073709551616", b"2147483648", b"0.1000000000000000055", b"99999999-99-99"),
    *(b"true", b"null", b"None", b"[]", b"{}", b"1979-05-27", b"07:32:00", b"#aabbcc:0.5"),
    *("é".encode(), "٣".encode(), "\u2028".encode(), "\u202e".encode(), "ﬁ".encode(), b"\x7f"),
    *(b"[" * 2000, b"{a=" * 500, b"a." * 3000, b"x" * 20_000, b"A" * 200_000),
]


# What the library raises for an archive that was mutated before.
_NO_ARCHIVE = (
    *(zipfile.BadZipFile, zlib.error, NotImplementedError, ValueError, OSError, EOFError),
    *(IndexError, RuntimeError),
)


def mutated(content: bytes, rng: random.Random) -> bytes:
    """Return some bytes with one to eight changes; of a zip archive mostly within its parts."""
    if content.startswith(b"PK\x03\x04") and rng.random() < 0.8:
        with suppress(*_NO_ARCHIVE):
            return _mutated_part(content, rng)
    found = bytearray(content)
    for _ in range(rng.choice([1, 1, 1, 2, 3, 5, 8])):
        rng.choice(_CHANGES)(found, rng)
    return bytes(found)


def _mutated_part(content: bytes, rng: random.Random) -> bytes:
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    name = rng.choice(list(parts))
    if rng.random() < 0.05:
        del parts[name]
    else:
        parts[name] = mutated(parts[name], rng)
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", rng.choice([zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED])) as to:
        for part, held in parts.items():
            to.writestr(part, held)
    return target.getvalue()


def _place(found: bytearray, rng: random.Random) -> int:
    return rng.randrange(len(found) + 1)


def _span(found: bytearray, rng: random.Random) -> slice:
    start = _place(found, rng)
    return slice(start, start + rng.choice([1, 2, 4, 16, 64, 400]))


def _flip(found: bytearray, rng: random.Random) -> None:
    if found:
        found[rng.randrange(len(found))] ^= 1 << rng.randrange(8)


def _overwrite(found: bytearray, rng: random.Random) -> None:
    if found:
        found[rng.randrange(len(found))] = rng.choice([0, 1, 127, 128, 255, rng.randrange(256)])


def _insert(found: bytearray, rng: random.Random) -> None:
    place = _place(found, rng)
    found[place:place] = rng.choice(PIECES)


def _replace(found: bytearray, rng: random.Random) -> None:
    found[_span(found, rng)] = rng.choice(PIECES)


def _delete(found: bytearray, rng: random.Random) -> None:
    del found[_span(found, rng)]


def _repeat(found: bytearray, rng: random.Random) -> None:
    span = _span(found, rng)
    found[span.start : span.start] = found[span] * rng.choice([1, 2, 50])


def _move(found: bytearray, rng: random.Random) -> None:
    span = _span(found, rng)
    piece = bytes(found[span])
    del found[span]
    place = _place(found, rng)
    found[place:place] = piece


def _cut(found: bytearray, rng: random.Random) -> None:
    del found[_place(found, rng) :]


def _word(found: bytearray, rng: random.Random) -> None:
    """Put one word of the input in the place of another."""
    words = bytes(found).split()
    if words:
        one, other = rng.choice(words), rng.choice([*words, *PIECES])
        place = bytes(found).find(one, _place(found, rng))
        if place >= 0:
            found[place : place + len(one)] = other


_CHANGES = [_flip, _overwrite, _insert, _replace, _delete, _repeat, _move, _cut, _word, _word]
