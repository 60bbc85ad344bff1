"""Maps of columns: how the headers and values of a source become those of a catalogue."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal
from itertools import chain
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError

from kitsolver.shop.columns.registry import KNOWN, LEFT
from kitsolver.shop.findings import BadInput, Finding, nearest
from kitsolver.shop.maps.file_options import FileOptions
from kitsolver.shop.sources import source_findings
from kitsolver.shop.sources.header_names import HeaderNames, folded
from kitsolver.shop.toml_text import parse_toml, read_small

Unit = Literal["mm", "cm", "m", "in"]
# For each column of lengths the unit of its numbers.
LENGTHS = {name: name.rpartition("_")[2] for name in sorted(KNOWN) if name[-3:] in ("_cm", "_in")}
LENGTHS |= {"skein_m": "m", LEFT: "m"}


def _as_text(value: Any) -> Any:
    """Return a value of TOML as a cell has it; what has no such text stays as it is."""
    match value:
        case bool():
            return "yes" if value else "no"
        case int() | Decimal():
            return format(value, "f") if isinstance(value, Decimal) else str(value)
    return value


Word = Annotated[str, BeforeValidator(_as_text)]
_WHOLE = re.compile(r"[0-9]{1,18}")
Filled = Annotated[str, Field(min_length=1, pattern=r"\S")]


class ColumnMap(BaseModel):
    """How the headers and values of a source become those of a catalogue.

    Headers and words match in any case.

    Parameters
    ----------
    columns : dict of str to str
        For a catalogue's column the header that the source has for it.
    decimal_comma : bool
        Whether the source writes decimals after a comma.
    thousands : str, optional
        What the source writes between thousands; with a decimal comma usually a point.
    quality_most : Decimal, optional
        The best quality of the source's scale, for example 5; a catalogue's is 100. From
        0.001 to 1,000,000. In a cell such as ``4/5`` it must be the second figure.
    stars : str, optional
        The character that is counted in cells of quality, for example ``★``.
    bare_hex : bool
        Whether colours may stand without ``#``.
    currency_signs : tuple of str
        What is dropped before or behind sums of money.
    units_in_cells : tuple of str
        What is dropped before or behind other numbers; never a unit beside a length.
    yes, no : tuple of str
        The source's words for yes and no.
    pass_over : dict of str to tuple of str
        For a header the values of the rows that are passed over; one of them is enough.
    categories, weaves, kinds : dict of str to str
        For a word of the source the catalogue's.
    lengths : dict of str to str
        For a catalogue's column of lengths the unit (mm, cm, m, in) of the source's numbers.
    split : dict of str to tuple of str
        For a header the catalogue's columns that its cells hold, parted by x, × or *.
    join : dict of str to tuple of str
        For a catalogue's column the headers whose cells are the entries of its list.
    defaults : dict of str to str
        For a catalogue's column, as a catalogue has it, the value of a blank cell or of a column
        that the source does not have.
    file : FileOptions
        How the source is written, and how much of it is read.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    columns: dict[str, Filled] = {}
    decimal_comma: bool = False
    thousands: str | None = None
    quality_most: Annotated[Decimal, Field(ge=Decimal("0.001"), le=1_000_000)] | None = None
    stars: str | None = None
    bare_hex: bool = False
    currency_signs: tuple[Filled, ...] = ()
    units_in_cells: tuple[Filled, ...] = ()
    yes: tuple[Word, ...] = ()
    no: tuple[Word, ...] = ()
    pass_over: dict[str, tuple[Word, ...]] = {}
    categories: dict[str, Filled] = {}
    weaves: dict[str, Filled] = {}
    kinds: dict[str, Filled] = {}
    lengths: dict[str, Unit] = {}
    split: dict[str, tuple[str, ...]] = {}
    join: dict[str, tuple[Filled, ...]] = {}
    defaults: dict[str, Word] = {}
    file: FileOptions = FileOptions()

    def reading(self, settings: Iterable[str]) -> ColumnMap:
        """Return the map with other values in its table ``[file]``.

        Parameters
        ----------
        settings : iterable of str
            Each ``KEY=VALUE``, as on the command line.

        Raises
        ------
        BadInput
            With every finding.
        """
        data: dict[str, Any] = self.file.model_dump()
        for setting in settings:
            key, _, value = setting.partition("=")
            data[key.strip()] = int(value) if _WHOLE.fullmatch(value.strip()) else value
        try:
            return self.model_copy(update={"file": FileOptions.model_validate(data)})
        except ValidationError as fault:
            raise BadInput([_finding("--read", dict(each)) for each in fault.errors()]) from None

    def place(self, finding: Finding) -> Finding:
        """Return the finding with the source's header as its column."""
        if finding.column is None:
            return finding
        return replace(finding, column=self.header_of(finding.column))

    @property
    def passing(self) -> dict[str, frozenset[str]]:
        """For a header the words of rows that are passed over, both folded."""
        return {
            folded(self.header_of(header)): frozenset(map(folded, words))
            for header, words in self.pass_over.items()
        }

    def header_of(self, column: str) -> str:
        """Return the source's header for a column; of several, all of them."""
        if column in self.columns:
            return self.columns[column]
        if column in self.join:
            return " and ".join(self.join[column])
        return next((theirs for theirs, ours in self.split.items() if column in ours), column)


def header_names(by: ColumnMap, columns: Iterable[str]) -> HeaderNames:
    """Return by which names the header of a source is known.

    Parameters
    ----------
    by : ColumnMap
        The source's map.
    columns : iterable of str
        The catalogue's columns by which it is found. One that has a default need not be there.
    """
    theirs = [*by.columns.values(), *by.split, *chain.from_iterable(by.join.values())]
    needed: set[str] = set()
    for column in columns:
        if column in by.join:
            needed |= set(map(folded, by.join[column]))
        elif column in by.columns or column not in by.defaults:
            needed.add(folded(by.header_of(column)))
    return HeaderNames(frozenset(needed), KNOWN.union(map(folded, theirs)))


def read_map(path: str | Path) -> ColumnMap:
    """Return the map of a TOML file.

    Raises
    ------
    BadInput
        With every finding.
    """
    from kitsolver.shop.maps.map_findings import map_findings

    file = str(path)
    try:
        data = parse_toml(read_small(path).decode("utf-8-sig"))
    except OSError as fault:
        detail = f"cannot be read: {(fault.strerror or 'unreadable').lower()}"
        raise BadInput([source_findings.UnreadableMap(file=file, detail=detail)]) from None
    except ValueError as fault:
        detail = f"is no TOML: {str(fault).rstrip('.').lower()}"
        raise BadInput([source_findings.UnreadableMap(file=file, detail=detail)]) from None
    try:
        found = ColumnMap.model_validate(data)
    except ValidationError as fault:
        raise BadInput([_finding(file, dict(error)) for error in fault.errors()]) from None
    if wrong := list(map_findings(found, file)):
        raise BadInput(wrong)
    return found


def _finding(file: str, error: dict[str, Any]) -> Finding:
    key = ".".join(map(str, error["loc"]))
    if error["type"] == "extra_forbidden":
        of_file = key.startswith("file.") or file == "--read"
        known = FileOptions.model_fields if of_file else ColumnMap.model_fields
        detail = nearest(key.rpartition(".")[2], known)
        return source_findings.UnknownMapKey(file=file, column=key, detail=detail)
    value = str(error["input"])
    message = str(error["msg"]).removeprefix("Value error, ").removeprefix("Input ")
    hint = f"it {message}" if message.startswith("should") else message
    return source_findings.BadMap(file=file, column=key, value=value[:120], detail=hint)
