"""Mutates bytes: at random places, with pieces that have broken readers elsewhere.

What reads as JSON, TOML or a table is mutated by its values, too: so a reader takes it for sound,
and what it says contradicts itself.
"""

from __future__ import annotations

import copy
import io
import json
import random
import tomllib
import zipfile
import zlib
from collections.abc import Callable, Iterator
from contextlib import suppress
from typing import Any

import tomli_w

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
# Values in the place of others. TOML has no None: what it cannot be written as is passed over.
VALUES = [0, -1, 0.5, 10**9, "1e9", "", "thread", "T1", True, None, [], {}, "0.1000000000000000055"]

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
    if rng.random() < 0.4:
        with suppress(ValueError, TypeError, RecursionError):
            return _edited(content, rng)
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


def _edited(content: bytes, rng: random.Random) -> bytes:
    """Return what reads as JSON, TOML or a table with one to three of its values changed."""
    text = content.decode()
    write: Callable[[Any], str]
    if text.startswith(("{", "[{")):
        tree, write = json.loads(text), json.dumps
    else:
        try:
            tree, write = tomllib.loads(text), tomli_w.dumps
        except tomllib.TOMLDecodeError:
            tree, write = _table(text)
    for _ in range(rng.choice([1, 2, 2, 3])):
        _edit(tree, rng)
    return write(tree).encode()


def _table(text: str) -> tuple[list[list[str]], Callable[[list[list[str]]], str]]:
    """Return the cells of a table without quotes, and what writes them."""
    delimiter = max(",;\t|", key=text.partition("\n")[0].count)
    rows = [line.split(delimiter) for line in text.split("\n")]
    return rows, lambda rows: "\n".join(delimiter.join(map(str, row)) for row in rows)


def _edit(tree: Any, rng: random.Random) -> None:
    """Take a value out of a tree, put another in its place, name it otherwise or repeat it."""
    places = list(_places(tree))
    if not places:
        return
    parent, key = rng.choice(places)
    other_parent, other = rng.choice(places)
    how = rng.random()
    if how < 0.4:
        del parent[key]
    elif how < 0.7:
        parent[key] = copy.deepcopy(other_parent[other])
    elif how < 0.8:
        parent[key] = rng.choice(VALUES)
    elif isinstance(parent, list):
        parent.insert(key, copy.deepcopy(parent[key]))
    else:
        parent[str(other)] = parent.pop(key)


def _places(tree: Any) -> Iterator[tuple[Any, Any]]:
    """Yield every container in a tree with each of its keys."""
    if isinstance(tree, dict | list):
        for key in tree if isinstance(tree, dict) else range(len(tree)):
            yield tree, key
            yield from _places(tree[key])


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
