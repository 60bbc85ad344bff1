"""A folder in which goods, maps and kits are kept from one visit to the next."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path

from pydantic import BaseModel

from kitsolver.page.page_findings import FolderUnusable
from kitsolver.shop.findings import BadInput
from kitsolver.show.files import write_whole

_INDEX = "kept.json"
_NAME = re.compile(r"[0-9a-f]{16}")


@dataclass(frozen=True)
class KeptFile:
    """A file that is kept: of goods, a map, or a list of what is at home."""

    digest: str
    name: str
    path: Path
    home: bool


@dataclass(frozen=True)
class KeptKit:
    """A kit that is kept: under which name, what it is called, when it was kept, and its sum."""

    name: str
    title: str
    day: str
    told: str


class _Kit(BaseModel):
    title: str
    day: str
    told: str


class _Index(BaseModel):
    """What is kept: the names of files, and which are home lists, by digest; maps by headers."""

    files: dict[str, str] = {}
    homes: dict[str, bool] = {}
    maps: dict[str, str] = {}
    kits: dict[str, _Kit] = {}


class KeptFolder:
    """What is kept in a folder. Its index is one file, written whole.

    Parameters
    ----------
    folder : Path
        Made if it is missing.

    Raises
    ------
    BadInput
        If it cannot be made, or holds an index that is none.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        try:
            folder.mkdir(parents=True, exist_ok=True)
            index = folder / _INDEX
            text = index.read_text(encoding="utf-8") if index.exists() else "{}"
            self._index = _Index.model_validate_json(text)
        except (OSError, ValueError) as fault:
            detail = (getattr(fault, "strerror", None) or "its index is not readable").lower()
            raise BadInput([FolderUnusable(file=str(folder), detail=detail)]) from None

    def files(self) -> Iterator[KeptFile]:
        """Yield the goods, maps and home lists that are kept, those kept last first."""
        for digest, name in reversed(self._index.files.items()):
            path = self._folder / f"{digest}.data"
            if _NAME.fullmatch(digest) and path.exists():
                yield KeptFile(digest, name, path, digest in self._index.homes)

    def keep_file(self, digest: str, name: str, path: Path) -> None:
        """Keep a file of goods, a map or a home list."""
        if digest not in self._index.files:
            shutil.copyfile(path, self._folder / f"{digest}.data")
            self._index.files[digest] = name
            self._write()

    def call_home_list(self, digest: str) -> None:
        """Remember that a file that is kept is a list of what is at home."""
        if digest in self._index.files and digest not in self._index.homes:
            self._index.homes[digest] = True
            self._write()

    def map_for(self, headers: Sequence[str]) -> str | None:
        """Return the digest of the map by which goods with these headers were read last."""
        digest = self._index.maps.get(_key(headers))
        return digest if digest in self._index.files else None

    def keep_map(self, headers: Sequence[str], digest: str) -> None:
        """Remember the map by which goods with these headers are read."""
        self._index.maps[_key(headers)] = digest
        self._write()

    def kits(self) -> Iterator[KeptKit]:
        """Yield the kits that are kept, those kept last first."""
        for name, kit in reversed(self._index.kits.items()):
            if _NAME.fullmatch(name):
                yield KeptKit(name, kit.title, kit.day, kit.told)

    def keep_kit(self, text: str, title: str, told: str) -> None:
        """Keep the record of a kit."""
        name = sha256(text.encode()).hexdigest()[:16]
        write_whole(str(self._folder / f"{name}.kit.json"), text)
        day = datetime.now(tz=UTC).astimezone().date().isoformat()
        self._index.kits.pop(name, None)
        self._index.kits[name] = _Kit(title=title, day=day, told=told)
        self._write()

    def kit(self, name: str) -> str | None:
        """Return the record of a kit that is kept; None if there is none of that name."""
        path = self._folder / f"{name}.kit.json"
        if not _NAME.fullmatch(name) or name not in self._index.kits or not path.exists():
            return None
        return path.read_text(encoding="utf-8", errors="replace")

    def _write(self) -> None:
        write_whole(str(self._folder / _INDEX), self._index.model_dump_json(indent=1))


def _key(headers: Sequence[str]) -> str:
    return sha256("\0".join(headers).encode()).hexdigest()[:16]
