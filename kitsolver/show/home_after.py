"""A home list as it is once a kit is made, as CSV."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

from kitsolver.shop.columns.registry import LEFT
from kitsolver.shop.home_list import HomeList
from kitsolver.shop.maps.written import Written
from kitsolver.shop.sources.files import is_there
from kitsolver.shop.sources.source_address import SourceAddress
from kitsolver.show.csv_text import csv_text
from kitsolver.solve.outcome import Kit


def home_after(home: HomeList, kit: Kit) -> str:
    """Return a home list without what a kit takes, under the headers that it was written with.

    Goods of which nothing is left stay on the list, with 0 units or metres.

    Parameters
    ----------
    home : HomeList
        As it was read from a source.
    kit : Kit
        What is made.
    """
    written = home.written
    if written is None:
        raise ValueError("the home list was not read from a source")
    changes = dict(_changes(home, kit))
    names = {name: _header(name, home) for name in ("stock", LEFT)}
    needed = {names[name] for cells in changes.values() for name in cells}
    header = list(dict.fromkeys([*written.header, *sorted(needed)]))
    columns = {name: coded.texts[coded.codes] for name, coded in written.columns.items()}
    rows = []
    for place, number in enumerate(written.rows.tolist()):
        new = {names[name]: cell for name, cell in changes.get(number, {}).items()}
        old = (str(columns[name][place]) if name in columns else "" for name in header)
        rows.append([new.get(name, cell) for name, cell in zip(header, old, strict=True)])
    return csv_text(header, rows)


def same_file(source: str, target: str) -> bool:
    """Tell whether a home list would be written over its own source."""
    address = SourceAddress(source)
    paths = (address.as_written, address.location)
    return is_there(target) and any(
        is_there(path) and Path(path).samefile(target) for path in paths
    )


def _changes(home: HomeList, kit: Kit) -> Iterator[tuple[int, dict[str, str]]]:
    """Yield the number of each row that changes, and its new cells by our names."""
    comma = home.mapping is not None and home.mapping.decimal_comma
    for line in kit.lines:
        row = home.rows.get(line.sku)
        if row is None or not line.listed:
            continue
        if row.length is None:
            yield row.number, {"stock": str(row.units - line.from_home)}
            continue
        left = format(line.metres_left or Decimal(0), "f")
        cells = {LEFT: left.replace(".", ",") if comma else left}
        # The metres overrule the units, which would no longer be right.
        yield row.number, cells | ({"stock": ""} if "stock" in row.cells else {})


def _header(name: str, home: HomeList) -> str:
    """Return the header that a list has for a column of ours, or is given for it."""
    found = Written(home.written, home.mapping).header_of(name) if home.written else None
    return found or (home.mapping.columns.get(name, name) if home.mapping else name)
