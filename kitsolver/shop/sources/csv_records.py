"""A CSV file record by record: which row each stands in, and whether it has the right width."""

from __future__ import annotations

import re
from array import array
from collections.abc import Iterable, Iterator
from itertools import islice
from typing import NoReturn

from kitsolver.shop.findings import BadInput, Finding
from kitsolver.shop.sources import file_findings
from kitsolver.shop.sources.bounds import Reading
from kitsolver.shop.sources.csv_header import find_header
from kitsolver.shop.sources.csv_parser import CsvParser
from kitsolver.shop.sources.encodings import encoding_name
from kitsolver.shop.sources.file_format import DELIMITERS, delimiter_words
from kitsolver.shop.sources.ragged import Ragged

# Records that pandas is given at a time: many enough to be quick, few enough for the memory.
_BATCH = 1024

# What decoding with "surrogateescape" makes of bytes that are no text.
_UNDECODED = re.compile(r"[\udc80-\udcff]")


class CsvRecords:
    """The well-formed records of a CSV file, as a file that a parser can read.

    A parser sees a header of numbers, and neither blank records nor records of another width.

    Parameters
    ----------
    file : iterable of str
        The file's lines with their ends, decoded with ``errors="surrogateescape"``.
    reading : Reading
        The source's name, its bounds, its format as far as a map says it, and the names of its
        header.
    codec : str
        What decoded the lines.

    Attributes
    ----------
    delimiter : str
        What stands between cells.
    most_cell : int
        The most characters of a cell.
    header : tuple of str
        The trimmed names of the columns.
    header_row : int
        The row that holds them.
    rows : array of int
        The row of each record handed on so far.
    ragged : Ragged
        What judges the records with too few or too many cells.
    findings : list of Finding
        Those of these records so far.

    Raises
    ------
    BadInput
        If there is no header, here; or as soon as the file turns out to be no CSV, or to be
        beyond a bound.
    """

    def __init__(self, file: Iterable[str], reading: Reading, codec: str) -> None:
        self._name = reading.name
        self._reading = reading
        self._codec = codec
        header = find_header(file, reading)
        self.delimiter = header.delimiter
        self._lines = header.lines
        self._row = header.row - 1
        self._ended = False
        self._record_lines: list[str] = []
        self._record_length = 0
        self._first = ""
        self.most_cell = reading.bounds.most_cell
        self._parser = CsvParser(self._lines_to_parse(), self.most_cell, self.delimiter)
        self.findings: list[Finding] = []
        self.rows = array("q")
        self.header = self._read_header()
        self.header_row = self._row
        self.ragged = Ragged(self.header, reading)
        self._well_formed = self._read_well_formed()

    def read(self, _size: int = -1) -> str:
        """Return the text of some further well-formed records, or an empty one at the end."""
        return "".join(islice(self._well_formed, _BATCH))

    def __iter__(self) -> Iterator[str]:
        return self._well_formed

    def _read_header(self) -> tuple[str, ...]:
        line = next(self._lines)
        self._row += 1
        self._check_text(line)
        self._refuse_other_delimiter(line)
        record = self._parse(line)
        self._reading.check_columns(len(record))
        return tuple(cell.strip() for cell in record)

    def _read_well_formed(self) -> Iterator[str]:
        width, most_cell = len(self.header), self.most_cell
        delimiter = self.delimiter
        yield delimiter.join(map(str, range(width))) + "\n"
        row, rows, most_rows = self._row, self.rows, self._reading.bounds.most_rows
        for line in self._lines:
            row += 1
            if row > most_rows:
                self._reading.check_rows(row)
            if not line.isascii() or "\0" in line:
                self._row = row
                self._check_text(line)
            # Most records need no parsing: their number of cells is right, and the first is filled.
            if (
                '"' not in line
                and line.count(delimiter) == width - 1
                and "," < line[0] <= "~"
                and line[0] != delimiter
                and len(line) <= most_cell
            ):
                rows.append(row)
                yield line
                continue
            self._row = row
            if record := self._parse(line):
                if len(record) == width:
                    rows.append(row)
                    yield "".join(self._record_lines)
                elif found := self.ragged.judge(row, record):
                    self.findings.append(found)

    def _parse(self, line: str) -> list[str]:
        """Return the cells of the record that begins with a line, none if all are blank.

        The record's lines are then `_record_lines`.
        """
        self._first = line
        self._record_lines.clear()
        self._record_length = 0
        try:
            record = next(self._parser)
        except CsvParser.LongCell:
            self._reading.refuse_cell(self._row)
            raise
        except CsvParser.Error:
            self._stop(file_findings.UnclosedQuote if self._ended else file_findings.TextAfterQuote)
        return record if any(map(str.strip, record)) else []

    def _lines_to_parse(self) -> Iterator[str]:
        """Yield the lines of the records to parse, as the parser asks for them."""
        while True:
            if self._first:
                line, self._first = self._first, ""
            elif line := next(self._lines, ""):
                self._check_text(line)
            else:
                self._ended = True
                return
            self._record_length += len(line)
            self._reading.check_row(self._record_length, self._row)
            self._record_lines.append(line)
            yield line

    def _check_text(self, line: str) -> None:
        if undecoded := _UNDECODED.search(line):
            byte = f"0x{ord(undecoded[0]) - 0xDC00:02X}"
            name = encoding_name(self._codec)
            kind = file_findings.NotUtf8 if name == "UTF-8" else file_findings.UndecodableByte
            self._stop(kind, byte, name)
        if "\0" in line:
            self._stop(file_findings.NulByte)

    def _refuse_other_delimiter(self, header: str) -> None:
        """Refuse a file that is not parted as its map says."""
        if self.delimiter in header:
            return
        for delimiter, called in DELIMITERS.items():
            if delimiter in header.strip():
                detail = delimiter_words(self.delimiter)
                self._stop(file_findings.WrongDelimiter, called, detail)

    def _find(self, kind: type[Finding], value: str | None = None, detail: str = "") -> None:
        self.findings.append(kind(file=self._name, row=self._row, value=value, detail=detail))

    def _stop(self, kind: type[Finding], value: str | None = None, detail: str = "") -> NoReturn:
        self._find(kind, value, detail)
        raise BadInput(self.findings)
