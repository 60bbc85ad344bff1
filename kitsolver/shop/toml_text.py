"""TOML as users write it: read within bounds, in a time that grows with its length alone."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any

# More than any brief, map, range or saved kit comes to.
MOST_BYTES = 4_000_000
# Tables and lists may be nested this deeply.
MOST_DEPTH = 32
# The most entries of a list or a table, and the most characters of a text.
MOST_ENTRIES = 5_000
MOST_CHARACTERS = 20_000
# How much of a value an error shows.
_SHOWN = 40

_TEXTS = re.compile(
    r'"""(?:\\.|[^\\])*?"""|\'\'\'.*?\'\'\'|"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\'|#[^\n]*', re.DOTALL
)
_DEEP_KEY = re.compile(rf"[\w-](?:[ \t]*\.[ \t]*[\w-]+){{{MOST_DEPTH}}}")


def read_small(path: str | Path) -> bytes:
    """Return the bytes of a file of settings; endless ones are refused.

    Raises
    ------
    OSError
        If it cannot be read.
    ValueError
        If it is too long, or the path is none.
    """
    with Path(path).open("rb") as file:
        content = file.read(MOST_BYTES + 1)
    if len(content) > MOST_BYTES:
        raise ValueError(f"it holds more than {MOST_BYTES:,} bytes")
    return content


def decimal_of(text: str) -> Decimal:
    """Return a number of TOML or JSON by its written decimal.

    Raises
    ------
    ValueError
        If its exponent is beyond any that a decimal can have.
    """
    try:
        return Decimal(text)
    except InvalidOperation:
        raise ValueError(f"an exponent is beyond all bounds: {text[:_SHOWN]}") from None


def parse_toml(text: str) -> dict[str, Any]:
    """Return TOML as data, floats by their written decimal.

    Raises
    ------
    ValueError
        If it is not well-formed, has a number beyond all bounds, or nests more deeply than any
        settings do.
    """
    # The library takes the square of a key's depth, so a deep one is refused before.
    if _DEEP_KEY.search(_TEXTS.sub("t", text)):
        raise ValueError(f"a key has more than {MOST_DEPTH} parts")
    try:
        data = tomllib.loads(text, parse_float=decimal_of)
    except RecursionError:
        raise ValueError("lists or tables nest too deeply") from None
    if next(excesses(data, most_entries=None), None):
        raise ValueError("lists or tables nest too deeply")
    return data


def is_text(text: str) -> bool:
    """Tell whether a text can be written: JSON and the command line may bring what cannot."""
    try:
        text.encode()
    except UnicodeEncodeError:
        return False
    return True


def excesses(
    data: Any, *, most_entries: int | None = MOST_ENTRIES
) -> Iterator[tuple[tuple[str, ...], str]]:
    """Yield the path of each value that is beyond a bound or no text, and what is wrong with it.

    Parameters
    ----------
    data : dict or list
        As parsed. It is gone through without recursion, so that its depth does no harm.
    most_entries : int, optional
        The most entries of a list or a table; None looks at the depth alone.
    """
    left: list[tuple[tuple[str, ...], Any]] = [((), data)]
    while left:
        path, value = left.pop()
        if isinstance(value, str):
            if not is_text(value):
                yield path, "holds half of a pair of surrogates, which is no text"
            elif most_entries is not None and len(value) > MOST_CHARACTERS:
                yield path, f"has {len(value):,} characters, and {MOST_CHARACTERS:,} are the most"
            continue
        if not isinstance(value, (dict, list, tuple)):
            continue
        if len(path) >= MOST_DEPTH:
            yield path[:1], f"nests more than {MOST_DEPTH} tables or lists"
            return
        if most_entries is not None and len(value) > most_entries:
            yield path, f"has {len(value):,} entries, and {most_entries:,} are the most"
            continue
        items = value.items() if isinstance(value, dict) else enumerate(value)
        if isinstance(value, dict) and not all(is_text(str(key)) for key in value):
            yield path, "has a key that holds half of a pair of surrogates, which is no text"
            continue
        left += (((*path, str(key)), held) for key, held in items)
