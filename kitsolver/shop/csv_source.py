"""A CSV file record by record: which row each stands in, and whether it has the right width."""

from __future__ import annotations

import csv
import re
from array import array
from collections.abc import Iterable, Iterator
from itertools import islice
from typing import NoReturn

from kitsolver.shop import catalogue_findings
from kitsolver.shop.findings import BadInput, Finding

# Records handed on at a time: enough to make the handing cheap, too few to weigh in memory.
_BATCH = 1024

# Python's csv module refuses cells beyond a limit of the whole process; lists have no limit here.
_LONGEST_CELL = 2**31 - 1

# What decoding with "surrogateescape" makes of bytes that are no UTF-8.
_UNDECODED = re.compile(r"[\udc80-\udcff]")

_OTHER_DELIMITERS = {";": "semicolons", "\t": "tabs", "|": "vertical bars"}


class Source:
    """The well-formed records of a CSV file, as a file that pandas can read.

    The file that pandas sees has places for column names, and no blank and no ragged records.

    Parameters
    ----------
    file : iterable of str
        The file's lines with their ends, decoded as UTF-8 with ``errors="surrogateescape"``.
    name : str
        The file's name for findings.

    Attributes
    ----------
    header : tuple of str
        The trimmed names of the columns.
    header_row : int
        The row that holds them.
    rows : array of int
        The row of each record handed on so far.
    findings : list of Finding
        One for each record so far with too few or too many cells.

    Raises
    ------
    BadInput
        If there is no header, here; or as soon as the file turns out to be no CSV in UTF-8.
    """

    def __init__(self, file: Iterable[str], name: str) -> None:
        csv.field_size_limit(_LONGEST_CELL)
        self._name = name
        self._file = iter(file)
        self._row = 0
        self._ended = False
        self._taken: list[str] = []
        self._first = ""
        self._parsed = csv.reader(self._feed(), strict=True)
        self.findings: list[Finding] = []
        self.rows = array("q")
        self.header = self._read_header()
        self.header_row = self._row
        self._handed_on = self._well_formed()

    def read(self, _size: int = -1) -> str:
        """Return the text of some further well-formed records, or an empty one at the end."""
        return "".join(islice(self._handed_on, _BATCH))

    def __iter__(self) -> Iterator[str]:
        return self._handed_on

    def _read_header(self) -> tuple[str, ...]:
        for line in self._file:
            self._row += 1
            self._check(line)
            self._refuse_other_delimiter(line)
            if record := self._parse(line):
                return tuple(cell.strip() for cell in record)
        raise BadInput([catalogue_findings.EmptyFile(file=self._name)])

    def _well_formed(self) -> Iterator[str]:
        width = len(self.header)
        yield ",".join(map(str, range(width))) + "\n"
        for line in self._file:
            self._row += 1
            if not line.isascii() or "\0" in line:
                self._check(line)
            # Of most records it is plain without parsing: the width is right, a cell not blank.
            if '"' not in line and line.count(",") == width - 1 and "," < line[0] <= "~":
                self.rows.append(self._row)
                yield line
            elif record := self._parse(line):
                if len(record) == width:
                    self.rows.append(self._row)
                    yield "".join(self._taken)
                else:
                    kind = (
                        catalogue_findings.TooFewCells
                        if len(record) < width
                        else catalogue_findings.TooManyCells
                    )
                    self._find(kind, detail=f"{_counted(len(record))}, and the header has {width}")

    def _parse(self, line: str) -> list[str]:
        """Return the cells of the record that begins with `line`, none if all are blank.

        The record's lines are then `_taken`.
        """
        self._first = line
        self._taken.clear()
        try:
            record = next(self._parsed)
        except csv.Error:
            self._stop(
                catalogue_findings.UnclosedQuote
                if self._ended
                else catalogue_findings.TextAfterQuote
            )
        return record if any(map(str.strip, record)) else []

    def _feed(self) -> Iterator[str]:
        """Yield the lines of the records to parse, as the parser asks for them."""
        while True:
            if self._first:
                line, self._first = self._first, ""
            elif line := next(self._file, ""):
                self._check(line)
            else:
                self._ended = True
                return
            self._taken.append(line)
            yield line

    def _check(self, line: str) -> None:
        if undecoded := _UNDECODED.search(line):
            self._stop(catalogue_findings.NotUtf8, f"0x{ord(undecoded[0]) - 0xDC00:02X}")
        if "\0" in line:
            self._stop(catalogue_findings.NulByte)

    def _refuse_other_delimiter(self, header: str) -> None:
        for delimiter, called in _OTHER_DELIMITERS.items():
            if "," not in header and delimiter in header.strip():
                self._stop(catalogue_findings.WrongDelimiter, called)

    def _find(self, kind: type[Finding], value: str | None = None, detail: str = "") -> None:
        self.findings.append(kind(file=self._name, row=self._row, value=value, detail=detail))

    def _stop(self, kind: type[Finding], value: str | None = None) -> NoReturn:
        self._find(kind, value)
        raise BadInput(self.findings)


def _counted(cells: int) -> str:
    return "1 cell" if cells == 1 else f"{cells} cells"
