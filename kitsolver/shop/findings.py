"""Findings: one thing wrong with one cell, row or file, with its place and its mend.

A finding is data. Its class is its kind: the class's name gives the stable ``code``, ``says``
the sentence, ``mend`` the hint, and the docstring the line in the page of codes.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import ClassVar

from kitsolver.shop.sources.source_address import masked

# Messages of libraries are quoted up to this length.
_MOST_QUOTED = 200


@dataclass(frozen=True, kw_only=True)
class Finding:
    """One thing wrong, with its place and its mend.

    Parameters
    ----------
    file : str
        The file or address as the user gave it; a password in it is masked here.
    row : int, optional
        Row of the file, the header being row 1. None for what concerns the whole file.
    column : str, optional
        Column of a catalogue, or dotted key of a brief.
    value : str, optional
        The offending value as written.
    detail : str
        What ``says`` and ``mend`` may name as ``{detail}``: a bound, a nearest word, other rows.
    """

    says: ClassVar[str] = ""
    mend: ClassVar[str] = ""
    warning: ClassVar[bool] = False
    note: ClassVar[bool] = False

    file: str
    row: int | None = None
    column: str | None = None
    value: str | None = None
    detail: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "file", masked(self.file))

    @property
    def code(self) -> str:
        """The stable code: the class's name in lower case with hyphens."""
        return code_of(type(self))

    @property
    def level(self) -> str:
        """``"error"``, or ``"warning"`` if the data stay usable as they are, or ``"note"``.

        A note tells how the data are read, and is counted as neither.
        """
        if self.note:
            return "note"
        return "warning" if self.warning else "error"

    @property
    def sentence(self) -> str:
        """What is wrong, in one sentence."""
        return self._fill(self.says)

    @property
    def hint(self) -> str:
        """What would mend it; empty where nothing general can be said."""
        return self._fill(self.mend)

    @property
    def place(self) -> str:
        """File, row and column, as far as known."""
        row = f"row {self.row}" if self.row is not None else ""
        return ", ".join(part for part in (self.file, row, self.column or "") if part)

    def _fill(self, template: str) -> str:
        return template.format(
            file=self.file, column=self.column, value=self.value, detail=self.detail
        ).strip()


class BadInput(Exception):
    """What the user handed in cannot be used; carries every finding.

    Parameters
    ----------
    findings : iterable of Finding
        At least one of them is an error.
    """

    def __init__(self, findings: Iterable[Finding]) -> None:
        self.findings = tuple(findings)
        super().__init__("; ".join(f"{f.place}: {f.sentence}" for f in self.findings))

    def __reduce__(self) -> tuple[type[BadInput], tuple[tuple[Finding, ...]]]:
        # As it goes from one process to another: with its findings, not its text.
        return type(self), (self.findings,)


def code_of(kind: type[Finding]) -> str:
    """Return the stable code of a kind of finding, for example ``"duplicate-sku"``."""
    return re.sub(r"(?<!^)(?=[A-Z])", "-", kind.__name__).lower()


def finding_classes(root: type[Finding] = Finding) -> list[type[Finding]]:
    """Return every kind of finding the program can give, sorted by code."""
    found = [kind for child in root.__subclasses__() for kind in (child, *finding_classes(child))]
    return sorted({kind for kind in found if kind.says}, key=code_of)


def first_line(fault: BaseException) -> str:
    """Return the first line of what a library says is wrong, as a finding quotes it."""
    lines = str(fault).strip().splitlines() or [type(fault).__name__]
    return lines[0][:_MOST_QUOTED].rstrip(".")


def nearest(word: str, known: Iterable[str]) -> str:
    """Return ``"did you mean X?"`` for the known word nearest to `word`, or an empty string."""
    spelt = {each.lower(): each for each in sorted(known)}
    close = difflib.get_close_matches(word.lower(), spelt, n=1, cutoff=0.5)
    return f"did you mean {spelt[close[0]]}?" if close else ""
