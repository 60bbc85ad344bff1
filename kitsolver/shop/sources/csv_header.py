"""Finds the header of a CSV file among its first rows, and with it the delimiter."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from itertools import chain
from typing import NoReturn

from kitsolver.shop.findings import BadInput
from kitsolver.shop.sources.bounds import Reading
from kitsolver.shop.sources.csv_parser import CsvParser
from kitsolver.shop.sources.file_findings import EmptyFile, HeaderRowMissing
from kitsolver.shop.sources.file_format import DELIMITERS

# The header is looked for in this many lines and characters at the most.
_MOST_LINES = 10_000
_MOST_CHARACTERS = 4_000_000
# Until the header is found, a row has at most this many lines: a quote may never be closed.
_MOST_LINES_A_ROW = 50
# Where no row has the names of a header, this many lines show how cells are parted.
_SAMPLE = 100
_OF_BLANK_LINES = "".join(DELIMITERS) + " \r\n"


@dataclass(frozen=True)
class CsvHeader:
    """Where the header is.

    Parameters
    ----------
    delimiter : str
        What stands between cells.
    row : int
        Its number. A row counts once, however many lines it has.
    lines : iterator of str
        All lines from there on.
    """

    delimiter: str
    row: int
    lines: Iterator[str]


def find_header(lines: Iterable[str], reading: Reading) -> CsvHeader:
    """Return where the header of a CSV file is.

    It is the row that the map names, or the first that has the names which a header needs. Of
    several delimiters the one is taken with which it has most known names, then most cells. If
    no row has the names that a header needs, the row is taken that is most like those below it.

    Parameters
    ----------
    lines : iterable of str
        The file's lines with their ends.
    reading : Reading
        The file's format as far as its map says it, and the names of its header.

    Raises
    ------
    BadInput
        If the file is blank, or has no row of the number that the map names.
    """
    first = FirstRows(lines, reading)
    asked = reading.format.header_row
    if asked is not None:
        return first.header_in_row(asked)
    if reading.header.by_shape is not None:
        return first.header(*first.shaped_header(reading.header.by_shape))
    for place in first.places(_MOST_LINES):
        rows = first.beginning_in(place)
        if fitting := {d: row for d, row in rows.items() if reading.header.is_header(row)}:
            return first.header(place, first.best_delimiter(fitting))
    return first.header(*first.likely_header())


class FirstRows:
    """The first rows of a CSV file, as they are with each delimiter.

    Parameters
    ----------
    lines : iterable of str
        The file's lines with their ends; they are read as far as they are needed.
    reading : Reading
        The file's format as far as its map says it, and the names of its header.
    """

    def __init__(self, lines: Iterable[str], reading: Reading) -> None:
        self._lines = _Lines(lines)
        self._reading = reading
        delimiter = reading.format.delimiter
        most_cell = reading.bounds.most_cell
        self._parsers = {
            each: CsvParser(self._lines, most_cell, each, strict=False)
            for each in ([delimiter] if delimiter else DELIMITERS)
        }

    def places(self, most_lines: int) -> Iterator[int]:
        """Yield the place of each of the first lines, from 0."""
        for place in range(most_lines):
            if self._lines.characters > _MOST_CHARACTERS or not self._lines.reach(place):
                return
            yield place

    def beginning_in(self, place: int) -> Mapping[str, list[str]]:
        """Return for each delimiter the cells of the row that begins in a line.

        Empty if there is no such line, or if it is blank.
        """
        found: dict[str, list[str]] = {}
        if self._lines.is_blank(place):
            return found
        for delimiter, parser in self._parsers.items():
            self._lines.go_to(place)
            try:
                row = next(parser)
            except (CsvParser.Error, StopIteration):
                continue
            if any(map(str.strip, row)):
                found[delimiter] = row
        return found

    def best_delimiter(self, rows: Mapping[str, list[str]]) -> str:
        """Return the delimiter with which a header has most known names, then most cells."""
        known = self._reading.header.known_among
        return max(rows, key=lambda delimiter: (known(rows[delimiter]), len(rows[delimiter])))

    def likely_header(self) -> tuple[int, str]:
        """Return the place and the delimiter of a row that is most like the rows below it.

        Raises
        ------
        BadInput
            If all rows are blank, or have a cell that is too long.
        """
        rows = [(place, self.beginning_in(place)) for place in self.places(_SAMPLE)]
        widths = {
            delimiter: [len(row[delimiter]) for _, row in rows if delimiter in row]
            for delimiter in self._parsers
        }
        best, found = (-1, -1, -1), None
        for place, row in rows:
            for delimiter, cells in row.items():
                alike = widths[delimiter].count(len(cells)) if len(cells) > 1 else 0
                score = (self._reading.header.known_among(cells), alike, len(cells))
                if score > best:
                    best, found = score, (place, delimiter)
        if found is None:
            self._refuse_all()
        return found

    def shaped_header(self, by_shape: Callable[[Sequence[Sequence[str]]], int]) -> tuple[int, str]:
        """Return the place and the delimiter of the row that looks like a header.

        Raises
        ------
        BadInput
            If all rows are blank, or have a cell that is too long.
        """
        rows = [(place, self.beginning_in(place)) for place in self.places(_SAMPLE)]
        found: dict[str, list[str]] = {}
        places: dict[str, int] = {}
        for delimiter in self._parsers:
            parted = [(place, row[delimiter]) for place, row in rows if delimiter in row]
            if parted:
                places[delimiter], found[delimiter] = parted[by_shape([row for _, row in parted])]
        if not found:
            self._refuse_all()
        delimiter = self.best_delimiter(found)
        return places[delimiter], delimiter

    def _refuse_all(self) -> NoReturn:
        """Refuse a file of whose first rows none could be parted into cells."""
        filled = (place for place in range(_SAMPLE) if not self._lines.is_blank(place))
        row = next(filled, None)
        if row is not None and self._lines.characters > self._reading.bounds.most_cell:
            self._reading.refuse_cell(row + 1)
        raise BadInput([EmptyFile(file=self._reading.name)])

    def header_in_row(self, number: int) -> CsvHeader:
        """Return the row of a number as the header.

        Raises
        ------
        BadInput
            If there is no such row, or it is blank.
        """
        places = {delimiter: self._after(delimiter, number - 1) for delimiter in self._parsers}
        rows = {
            delimiter: row[delimiter]
            for delimiter, place in places.items()
            if delimiter in (row := self.beginning_in(place))
        }
        if not rows:
            raise BadInput([HeaderRowMissing(file=self._reading.name, value=str(number))])
        delimiter = self.best_delimiter(rows)
        return CsvHeader(delimiter, number, self._lines.all_from(places[delimiter]))

    def header(self, place: int, delimiter: str) -> CsvHeader:
        """Return the row that begins in a line as the header."""
        number = above = 0
        while above < place:
            above = self._after(delimiter, 1, above)
            number += 1
        # A quote that is never closed makes one row of all that stands above the header.
        row = number + 1 if above == place else place + 1
        return CsvHeader(delimiter, row, self._lines.all_from(place))

    def _after(self, delimiter: str, rows: int, place: int = 0) -> int:
        """Return the place of the line behind so many rows, the first of which begins in a line."""
        parser = self._parsers[delimiter]
        for _ in range(rows):
            if not self._lines.reach(place):
                break
            self._lines.go_to(place)
            with suppress(CsvParser.Error, StopIteration):
                next(parser)
            place = max(self._lines.place, place + 1)
        return place


class _Lines:
    """Lines that are read from any place on, as often as wanted, but not endlessly many."""

    def __init__(self, lines: Iterable[str]) -> None:
        self._unread = iter(lines)
        self._read: list[str] = []
        self.place = self._end = 0
        self.characters = 0

    def reach(self, place: int) -> bool:
        """Return whether there is a line in a place."""
        while len(self._read) <= place:
            line = next(self._unread, None)
            if line is None:
                return False
            self.characters += len(line)
            self._read.append(line.removeprefix("\ufeff") if not self._read else line)
        return True

    def is_blank(self, place: int) -> bool:
        """Tell whether a line has nothing but delimiters, or does not exist."""
        return not (self.reach(place) and self._read[place].strip(_OF_BLANK_LINES))

    def go_to(self, place: int) -> None:
        """Make a place that of the next line."""
        self.place, self._end = place, place + _MOST_LINES_A_ROW

    def __iter__(self) -> Iterator[str]:
        return self

    def __next__(self) -> str:
        """Return the next line of a row; a parser asks for it."""
        if self.place >= self._end or not self.reach(self.place):
            raise StopIteration
        self.place += 1
        return self._read[self.place - 1]

    def all_from(self, place: int) -> Iterator[str]:
        """Return all lines from a place on; afterwards nothing else can be asked."""
        return chain(self._read[place:], self._unread)
