"""The ledger of a batch: one line for every result in the folder.

It says which briefs are done, so that a batch that was interrupted can go on.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from kitsolver.brief.brief import Brief
from kitsolver.shop.findings import BadInput
from kitsolver.show.files import Unwritable, write_whole

# A search that ran out of time is run again: its result is no answer.
_FINAL = ("best", "no kit")
# Instead of its status, for a result that was complete only in part when the time limit passed.
OUT_OF_TIME = "out of time"

_Line = dict[str, str]


class Ledger:
    """The results in a folder, and what each of them depends on.

    Parameters
    ----------
    folder : Path
        The folder, which need not be there yet.
    summaries : iterable of str
        The names of the files about all results. Those of an earlier run are removed when the
        first new result is written.

    Raises
    ------
    BadInput
        If there is a ledger that cannot be read.
    """

    def __init__(self, folder: Path, summaries: Iterable[str]) -> None:
        self._folder, self._file = folder, folder / "ledger.jsonl"
        self._summaries, self._begun = tuple(summaries), False
        try:
            text = self._file.read_bytes().decode("utf-8", errors="replace")
        except FileNotFoundError:
            text = ""
        except OSError as fault:
            raise self._unwritable(fault) from None
        # The last line of each name counts.
        self._lines = {line["brief"]: line for line in _lines(text)}
        self._cut_off = not text.endswith("\n") and text != ""

    def done(self, name: str, fingerprint: str) -> str | None:
        """Return the result of a brief, if it is unchanged and still the answer; else None."""
        line = self._lines.get(name, {})
        if line.get("fingerprint") != fingerprint or line.get("status") not in _FINAL:
            return None
        try:
            written = self._result(name).read_bytes()
        except OSError:
            return None
        return written.decode() if line.get("sha256") == sha256(written) else None

    def write(self, name: str, status: str, fingerprint: str, text: str) -> None:
        """Write a result, and then its line in the ledger.

        Raises
        ------
        BadInput
            If it cannot be written.
        """
        self._begin()
        write_whole(str(self._result(name)), text)
        line = {
            "brief": name,
            "status": status,
            "fingerprint": fingerprint,
            "sha256": sha256(text.encode()),
        }
        # The rest of a line that was cut off must not run into this one.
        start, self._cut_off = "\n" if self._cut_off else "", False
        try:
            with self._file.open("a", encoding="utf-8", newline="\n") as file:
                file.write(f"{start}{json.dumps(line)}\n")
        except OSError as fault:
            raise self._unwritable(fault) from None
        self._lines[name] = line

    def withdraw(self, names: Iterable[str]) -> None:
        """Remove the results that earlier runs wrote for briefs which have none now.

        Raises
        ------
        BadInput
            If they cannot be removed.
        """
        for name in names:
            if self._lines.pop(name, None):
                self._remove(self._result(name))

    def finish(self, texts: Mapping[str, str]) -> None:
        """Write the files about all results, by name.

        Raises
        ------
        BadInput
            If they cannot be written.
        """
        self._begin()
        for name, text in texts.items():
            write_whole(str(self._folder / name), text)

    def _begin(self) -> None:
        """Make the folder before the first result is written, and remove outdated summaries."""
        if self._begun:
            return
        self._begun = True
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
        except OSError as fault:
            raise self._unwritable(fault) from None
        # In a folder without a ledger nothing is removed: its files are not ours.
        for name in self._summaries if self._lines else ():
            self._remove(self._folder / name)

    def _remove(self, file: Path) -> None:
        try:
            file.unlink(missing_ok=True)
        except OSError as fault:
            raise self._unwritable(fault) from None

    def _result(self, name: str) -> Path:
        return self._folder / f"{name}.json"

    def _unwritable(self, fault: OSError) -> BadInput:
        detail = (fault.strerror or "unwritable").lower()
        return BadInput([Unwritable(file=str(self._file), detail=detail)])


def fingerprint_of(catalogue: str, options: str, brief: Brief) -> str:
    """Return one short text for all that a result depends on.

    Parameters
    ----------
    catalogue : str
        The SHA-256 of the catalogue's bytes.
    options : str
        The options of the command line, and the program's version.
    brief : Brief
        The brief, complete with its defaults.
    """
    # Not as JSON, which would round the brief's decimals.
    brief_text = repr(brief.model_dump())
    return sha256("\n".join((catalogue, options, brief_text)).encode())


def sha256(content: bytes) -> str:
    """Return the SHA-256 of some bytes in hexadecimal."""
    return hashlib.sha256(content).hexdigest()


def _lines(text: str) -> Iterator[_Line]:
    """Yield the lines, without one that was cut off by an interruption."""
    for line in text.split("\n"):
        try:
            entry = json.loads(line)
        except (ValueError, RecursionError):
            continue
        if isinstance(entry, dict) and isinstance(entry.get("brief"), str):
            yield entry
