"""The cells of one sheet of a workbook (.xlsx), row by row."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import IO, Any
from xml.etree.ElementTree import Element, iterparse
from xml.parsers import expat

from openpyxl.utils.cell import coordinate_to_tuple
from openpyxl.worksheet._reader import INLINE_STRING, ROW_TAG, VALUE_TAG, WorkSheetParser
from openpyxl.xml.constants import SHEET_MAIN_NS

from kitsolver.shop.sources.table_records import UnreadableValue

_UNREADABLE_CELL = "its value is damaged, or not of the kind that its cell says"
_TEXT_TAG = f"{{{SHEET_MAIN_NS}}}t"
_CHUNK = 4096
# A cell's column, from 1 on, and its value.
Cell = tuple[int, Any]


class SheetCells(WorkSheetParser):  # type: ignore[misc]
    """Reads the cells of one sheet.

    The usual cells are read here: texts, and numbers that are no dates. All others are left to the
    library, which builds some objects for each; so are those that are damaged.

    Parameters
    ----------
    sheet, book : object
        The library's.
    """

    col_counter: int

    def __init__(self, sheet: Any, book: Any) -> None:
        super().__init__(
            None,
            sheet._shared_strings,
            data_only=True,
            epoch=book.epoch,
            date_formats=book._date_formats,
            timedelta_formats=book._timedelta_formats,
        )
        self._columns: dict[str, int] = {}

    def rows(self, opened: Callable[[], IO[bytes]]) -> Iterator[tuple[int, list[Cell]]]:
        """Yield the number of each row, and those of its cells that are filled.

        Parameters
        ----------
        opened : callable
            Opens the sheet as XML.

        Raises
        ------
        ValueError
            If the XML declares entities, by which a small file can stand for a huge one.
        """
        with opened() as source:
            _refuse_entities(source)
        # The library's own rows stop at the first bad cell, and fill gaps with billions of rows.
        with opened() as source:
            for _, element in iterparse(source):
                if element.tag == ROW_TAG:
                    # Cells that are not read one by one leave no other trace.
                    cells = list(element)
                    element[:] = []
                    self.parse_row(element)
                    yield self.row_counter, list(self._filled(cells))
                    element.clear()

    def _filled(self, cells: list[Element]) -> Iterator[Cell]:
        suffix = str(self.row_counter)
        for cell in cells:
            found = self._usual(cell, suffix) or self._any(cell)
            self.col_counter = found[0]
            if found[1] is not None:
                yield found

    def _usual(self, cell: Element, row: str) -> Cell | None:
        """Return a usual cell; None if it is another, or damaged."""
        coordinate = cell.get("r", "")
        column = self._columns.get(coordinate.removesuffix(row))
        if column is None or not coordinate.endswith(row):
            return None
        kind = cell.get("t", "n")
        if kind == "inlineStr":
            text = _plain_text(cell.find(INLINE_STRING))
            return (column, text) if text else None
        value = cell.findtext(VALUE_TAG)
        if not value:
            return None
        try:
            if kind == "s":
                return column, self.shared_strings[int(value)]
            if kind == "n" and int(cell.get("s", 0)) not in self.date_formats:
                whole = not any(sign in value for sign in ".eE")
                return column, int(value) if whole else float(value)
        except (ValueError, IndexError):
            return None
        return (column, value) if kind == "str" else None

    def _any(self, element: Element) -> Cell:
        """Return any cell as the library reads it."""
        before, coordinate = self.col_counter, element.get("r")
        try:
            cell = self.parse_cell(element)
            column, value = cell["column"], cell["value"]
        except Exception:
            # A damaged cell makes the library raise almost anything.
            column = coordinate_to_tuple(coordinate)[1] if coordinate else before + 1
            shown = str(element.findtext(VALUE_TAG) or "")
            value = UnreadableValue(shown[:120], _UNREADABLE_CELL)
        if coordinate:
            self._columns[coordinate.rstrip("0123456789")] = column
        return column, value


def _plain_text(element: Element | None) -> str | None:
    """Return a text that is in one piece; None if it is in several, or has none."""
    if element is None or element.attrib or len(element) != 1 or element[0].tag != _TEXT_TAG:
        return None
    return element[0].text


def _refuse_entities(source: IO[bytes]) -> None:
    """Refuse XML that declares entities: it can do so only before its first element."""
    parser, begun = expat.ParserCreate(), list[bool]()

    def declared(name: str, *_: object) -> None:
        raise ValueError(f"it declares the entity {name}, and no workbook does so")

    parser.EntityDeclHandler = declared
    parser.StartElementHandler = lambda *_: begun.append(True)
    while not begun and (chunk := source.read(_CHUNK)):
        parser.Parse(chunk)
