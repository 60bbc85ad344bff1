"""Python's CSV parser with a limit of our own for the length of a cell.

The limit of the ``csv`` module holds for the whole process, so that a library that raises it
raises it for every other. Each instance of the module's own core keeps its own limit: this one
is ours alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from importlib.util import find_spec, module_from_spec
from types import ModuleType


class CsvParser:
    """Parses records (RFC 4180).

    Parameters
    ----------
    lines : iterable of str
        Lines with their ends.
    most_cell : int
        The most characters of a cell.
    delimiter : str
        What stands between cells.
    strict : bool
        Whether text between a closing quote and the next delimiter, and a quote that is never
        closed, are errors.
    """

    class Error(Exception):
        """A record is no CSV."""

    class LongCell(Error):
        """A cell of it is too long."""

    def __init__(
        self, lines: Iterable[str], most_cell: int, delimiter: str = ",", *, strict: bool = True
    ) -> None:
        self._core = _core()
        self._core.field_size_limit(most_cell)
        self._records: Iterator[list[str]] = self._core.reader(
            lines, delimiter=delimiter, strict=strict
        )

    def __iter__(self) -> Iterator[list[str]]:
        """Return the parser itself."""
        return self

    def __next__(self) -> list[str]:
        """Return the cells of the next record.

        Raises
        ------
        CsvParser.Error
            If it is no CSV, or has a cell that is too long.
        StopIteration
            If there is none.
        """
        try:
            return next(self._records)
        except self._core.Error as fault:
            kind = self.LongCell if "field limit" in str(fault) else self.Error
            raise kind(str(fault)) from None


def _core() -> ModuleType:
    """Return an instance of the CSV module's core that nobody else uses."""
    spec = find_spec("_csv")
    if spec is None or spec.loader is None:
        raise ModuleNotFoundError("this Python has no _csv module")
    core = module_from_spec(spec)
    spec.loader.exec_module(core)
    return core
