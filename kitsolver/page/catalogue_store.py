"""The catalogues at hand: the one the page was started with, and those handed in since."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import ClassVar

from kitsolver.page.page_findings import CatalogueForgotten, TooManyBytes, TooManyRows
from kitsolver.shop.findings import BadInput

MOST_BYTES = 16 * 2**20
MOST_ROWS = 200_000
_MOST_HELD = 8


@dataclass(frozen=True)
class Held:
    """A catalogue file at hand.

    Parameters
    ----------
    digest : str
        What addresses call it; the same file has the same.
    name : str
        What its owner calls it.
    path : Path
        Where its bytes are kept.
    """

    digest: str
    name: str
    path: Path


class Stock:
    """Keeps the bytes of some catalogues in a folder of its own; the longest unused go first.

    Parameters
    ----------
    name : str
        What findings call the catalogue that the page is started with; it always stays.
    content : bytes
        Its own.
    folder : Path
        An empty folder for as long as the page runs.
    """

    FIRST: ClassVar[str] = ""

    def __init__(self, name: str, content: bytes, folder: Path) -> None:
        self._folder = folder
        self._handed_in: OrderedDict[str, Held] = OrderedDict()
        self._first = self._kept(name, content)

    def add(self, name: str, content: bytes) -> Held:
        """Keep the bytes of a file.

        Raises
        ------
        BadInput
            If there are too many of them, or too many lines.
        """
        if len(content) > MOST_BYTES:
            detail = f"{len(content)} bytes, and {MOST_BYTES} are allowed"
            raise BadInput([TooManyBytes(file=name, detail=detail)])
        if (lines := content.count(b"\n")) > MOST_ROWS:
            detail = f"{lines} lines, and {MOST_ROWS} are allowed"
            raise BadInput([TooManyRows(file=name, detail=detail)])
        held = self._kept(name, content)
        if held.digest == self._first.digest:
            return self._first
        self._handed_in[held.digest] = held
        self._handed_in.move_to_end(held.digest)
        while len(self._handed_in) > _MOST_HELD:
            _, forgotten = self._handed_in.popitem(last=False)
            forgotten.path.unlink()
        return held

    def get(self, digest: str) -> Held:
        """Return a catalogue by its digest, the first if that is blank.

        Raises
        ------
        BadInput
            If it is not at hand.
        """
        if digest in (self.FIRST, self._first.digest):
            return self._first
        if digest not in self._handed_in:
            raise BadInput([CatalogueForgotten(file="the address", value=digest)])
        self._handed_in.move_to_end(digest)
        return self._handed_in[digest]

    def _kept(self, name: str, content: bytes) -> Held:
        digest = sha256(content).hexdigest()[:16]
        path = self._folder / f"{digest}.csv"
        path.write_bytes(content)
        return Held(digest, name, path)
