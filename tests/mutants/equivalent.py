"""Changes of the code that nobody can see, listed with their reasons."""

from __future__ import annotations

import tomllib
from pathlib import Path, PurePath
from typing import NamedTuple

from mutants.changes import Change

LISTED = Path(__file__).with_suffix(".toml")


class Equivalents(NamedTuple):
    """The list: of each change its file, its line as it stands there, its place in it, itself."""

    known: frozenset[tuple[str, str, int, str]]

    @classmethod
    def read(cls) -> Equivalents:
        """Read the list."""
        listed = tomllib.loads(LISTED.read_text(encoding="utf-8"))["equivalent"]
        return cls(frozenset((x["file"], x["line"], x["at"], x["change"]) for x in listed))

    def has(self, path: PurePath, source: str, change: Change) -> bool:
        """Tell whether a change of a file is listed."""
        line = source.splitlines()[change.line - 1]
        at = change.column - (len(line) - len(line.lstrip()))
        return (path.as_posix(), line.strip(), at, change.what) in self.known
