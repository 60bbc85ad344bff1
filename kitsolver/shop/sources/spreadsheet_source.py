"""Spreadsheets other than .xlsx as a source: .ods and the old .xls, one of their sheets."""

from __future__ import annotations

import pickle
import subprocess
import sys
from collections.abc import Iterator
from typing import IO
from zipfile import BadZipFile, ZipFile

from kitsolver.shop.findings import BadInput, first_line
from kitsolver.shop.packages import needed
from kitsolver.shop.sources import spreadsheet_child
from kitsolver.shop.sources.bounds import Reading
from kitsolver.shop.sources.records import Records
from kitsolver.shop.sources.sheets import chosen_sheet, sheet_records
from kitsolver.shop.sources.source_findings import UnreadableWorkbook
from kitsolver.shop.sources.spreadsheet_child import Sheet
from kitsolver.shop.sources.table_records import Row

_XLS = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_ZIP = b"PK\x03\x04"
_ODS = b"application/vnd.oasis.opendocument.spreadsheet"


def recognises(file: IO[bytes]) -> bool:
    """Tell whether a file is such a spreadsheet, by its bytes."""
    begin = file.read(len(_XLS))
    file.seek(0)
    return begin == _XLS or (begin.startswith(_ZIP) and _is_ods(file))


def _is_ods(file: IO[bytes]) -> bool:
    try:
        with ZipFile(file) as archive:
            return archive.read("mimetype").startswith(_ODS)
    except (BadZipFile, KeyError, OSError, ValueError, NotImplementedError, RuntimeError):
        # Other damage is found by the reader of workbooks.
        return False
    finally:
        file.seek(0)


def read(file: IO[bytes], asked: str, reading: Reading) -> Records:
    """Read the sheet that is asked for, or the first one.

    Raises
    ------
    BadInput
        If it cannot be read, has no such sheet, or is beyond a bound, or the package for it is
        missing.
    """
    needed("python_calamine", "spreadsheets", reading.name)
    _check_size(file, reading)
    found = _read_apart(file.read(), asked or reading.format.sheet or "", reading)
    if found.fault:
        _refuse(found.fault, reading)
    chosen = chosen_sheet(found.names, asked, reading)
    reading.check_rows(found.height)
    reading.check_columns(found.width)
    return sheet_records(_rows(found), chosen, found.names, reading)


def _check_size(file: IO[bytes], reading: Reading) -> None:
    """Refuse a spreadsheet that is too large uncompressed."""
    try:
        with ZipFile(file) as archive:
            reading.check_size(sum(part.file_size for part in archive.infolist()))
    except BadZipFile:
        # An old one is as large as its file.
        pass
    finally:
        file.seek(0)


def _read_apart(content: bytes, asked: str, reading: Reading) -> Sheet:
    """Return what another process reads within the time that is left.

    Raises
    ------
    BadInput
        If it takes too long, or ends without an answer.
    """
    bounds = [str(reading.bounds.most_rows), str(reading.bounds.most_columns)]
    try:
        run = subprocess.run(
            [sys.executable, "-m", spreadsheet_child.__name__, asked, *bounds],
            input=content,
            capture_output=True,
            timeout=max(0.0, reading.seconds_left),
            check=False,
        )
    except subprocess.TimeoutExpired:
        reading.refuse_time()
        raise
    except (OSError, ValueError) as fault:
        # A sheet's name may hold a character that no argument can.
        _refuse(first_line(fault), reading)
        raise
    if run.returncode:
        _refuse("it is damaged, or takes more memory than there is", reading)
    return Sheet(**pickle.loads(run.stdout))


def _refuse(detail: str, reading: Reading) -> None:
    detail = detail.splitlines()[0][:200].rstrip(".")
    raise BadInput([UnreadableWorkbook(file=reading.name, detail=detail)])


def _rows(found: Sheet) -> Iterator[Row]:
    for number, values in enumerate(found.rows, start=1):
        yield number, [None if value == "" else value for value in values]
