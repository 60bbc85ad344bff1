"""The catalogues that the page can be asked about: its own, and those that were uploaded."""

from __future__ import annotations

from collections import Counter, OrderedDict
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from tempfile import NamedTemporaryFile
from typing import BinaryIO

from kitsolver.page.kept_folder import KeptFolder
from kitsolver.page.page_findings import CatalogueForgotten, TooManyBytes, TooManyRows
from kitsolver.shop.findings import BadInput, Finding

MOST_BYTES = 16 * 2**20
MOST_ROWS = 200_000
# How many uploads are kept, and how many bytes they may have together.
_MOST_KEPT = 32
_MOST_KEPT_BYTES = 256 * 2**20
_CHUNK = 2**20


@dataclass(frozen=True)
class StoredCatalogue:
    """The file of a catalogue that is kept.

    Parameters
    ----------
    digest : str
        What addresses call it; the same bytes have the same.
    name : str
        What its owner calls it.
    path : Path
        Where its bytes are.
    size : int
        How many they are.
    """

    digest: str
    name: str
    path: Path
    size: int


class CatalogueStore:
    """Keeps the files of catalogues in a folder; those used longest ago are forgotten first.

    Parameters
    ----------
    name : str
        What findings call the page's own catalogue, which is never forgotten.
    content : bytes
        Its bytes.
    folder : Path
        An empty folder for as long as the page runs.
    kept : KeptFolder, optional
        Where uploads are kept beyond that; they are never forgotten.
    """

    def __init__(
        self, name: str, content: bytes, folder: Path, kept: KeptFolder | None = None
    ) -> None:
        self._folder, self.kept = folder, kept
        self._uploads: OrderedDict[str, StoredCatalogue] = OrderedDict()
        self._in_use: Counter[str] = Counter()
        self.own = self._copied(name, BytesIO(content))
        self._lasting = {
            file.digest: StoredCatalogue(file.digest, file.name, file.path, 0)
            for file in (kept.files() if kept else ())
        }

    def keep_own(self, name: str, content: bytes) -> StoredCatalogue:
        """Copy a file that the page was started with; it is never forgotten."""
        stored = self._copied(name, BytesIO(content))
        self._lasting[stored.digest] = stored
        return stored

    def copy(self, name: str, content: BinaryIO) -> StoredCatalogue:
        """Copy an upload into the folder, for `add`. This may run in another thread.

        Raises
        ------
        BadInput
            If it has too many bytes or lines.
        """
        return self._copied(name, content, MOST_BYTES, MOST_ROWS)

    @contextmanager
    def add(self, stored: StoredCatalogue) -> Iterator[StoredCatalogue]:
        """Keep an upload, and certainly for as long as the block runs."""
        if stored.digest == self.own.digest:
            yield self.own
            return
        if self.kept is not None:
            self.kept.keep_file(stored.digest, stored.name, stored.path)
            self._lasting[stored.digest] = stored
            yield stored
            return
        self._uploads[stored.digest] = stored
        self._uploads.move_to_end(stored.digest)
        self._in_use[stored.digest] += 1
        self._forget()
        try:
            yield stored
        finally:
            self._in_use[stored.digest] -= 1
            self._forget()

    def get(self, digest: str) -> StoredCatalogue:
        """Return a catalogue by its digest, the page's own if that is blank.

        Raises
        ------
        BadInput
            If it is not kept.
        """
        if digest in ("", self.own.digest):
            return self.own
        if digest in self._lasting:
            return self._lasting[digest]
        if digest not in self._uploads:
            raise BadInput([CatalogueForgotten(file="the address", value=digest)])
        self._uploads.move_to_end(digest)
        return self._uploads[digest]

    def _forget(self) -> None:
        """Forget what is too much, but nothing that is in use."""
        size = sum(each.size for each in self._uploads.values())
        for digest, stored in list(self._uploads.items()):
            if len(self._uploads) <= _MOST_KEPT and size <= _MOST_KEPT_BYTES:
                return
            if not self._in_use[digest]:
                del self._uploads[digest]
                size -= stored.size
                stored.path.unlink(missing_ok=True)

    def _copied(
        self,
        name: str,
        content: BinaryIO,
        most_bytes: int | None = None,
        most_rows: int | None = None,
    ) -> StoredCatalogue:
        digest, size, lines = sha256(), 0, 0
        with NamedTemporaryFile(dir=self._folder, delete=False) as draft:
            path = Path(draft.name)
            while chunk := content.read(_CHUNK):
                digest.update(chunk)
                size += len(chunk)
                lines += chunk.count(b"\n")
                draft.write(chunk)
        found: Finding | None = None
        if most_bytes is not None and size > most_bytes:
            detail = f"{size} bytes, and {most_bytes} are allowed"
            found = TooManyBytes(file=name, detail=detail)
        elif most_rows is not None and lines > most_rows:
            detail = f"{lines} lines, and {most_rows} are allowed"
            found = TooManyRows(file=name, detail=detail)
        if found is not None:
            path.unlink()
            raise BadInput([found])
        short = digest.hexdigest()[:16]
        return StoredCatalogue(short, name, path.replace(self._folder / f"{short}.csv"), size)
