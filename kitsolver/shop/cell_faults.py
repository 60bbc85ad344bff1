"""What can be wrong with a cell, before its place is known."""

from __future__ import annotations

from typing import NamedTuple

from kitsolver.shop import catalogue_findings
from kitsolver.shop.findings import Finding

# A longer name or number is a mistake; a whole list may be longer.
LONGEST = 120


class Fault(NamedTuple):
    """One thing wrong with a cell: a finding that does not know its place yet."""

    kind: type[Finding]
    value: str
    detail: str = ""


class Refused(Exception):
    """A cell cannot be used; carries every fault of it."""

    def __init__(self, *faults: Fault) -> None:
        self.faults = faults
        super().__init__(faults)


def shortened(cell: str) -> str:
    """Return `cell` as a finding shows it: cut, with an ellipsis, if very long."""
    return cell if len(cell) <= LONGEST else f"{cell[: LONGEST - 1]}…"


def too_long(cell: str) -> Fault:
    """Return the fault of a cell, or an entry of a list, that is too long."""
    detail = f"{len(cell):,} characters, and {LONGEST} are the most"
    return Fault(catalogue_findings.CellTooLong, shortened(cell), detail)
