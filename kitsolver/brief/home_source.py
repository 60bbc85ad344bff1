"""The home list that a brief names, read and held against a catalogue."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

from kitsolver.brief.brief import Brief
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.findings import Finding
from kitsolver.shop.home_reading import with_home
from kitsolver.shop.mapping import read_map
from kitsolver.shop.source_address import SourceAddress
from kitsolver.shop.sources import read_source


def naming_home(brief: Brief, source: str | None, columns: str | None) -> Brief:
    """Return the brief with another home list or map, each if given.

    Another list comes with its own map, or with none.
    """
    if source is None and columns is None:
        return brief
    new = {"columns": columns} if source is None else {"source": source, "columns": columns}
    return brief.model_copy(update={"home": brief.home.model_copy(update=new)})


def with_home_list(
    catalogue: Catalogue, brief: Brief, *, folder: str | Path = ".", skip_bad_rows: bool = False
) -> tuple[Catalogue, tuple[Finding, ...]]:
    """Return the catalogue with the home list that the brief names, and that list's findings.

    Parameters
    ----------
    catalogue : Catalogue
        What is for sale.
    brief : Brief
        If it names no home list, the catalogue stays as it is.
    folder : str or Path
        From where the paths in the brief lead, usually the brief's own folder.
    skip_bad_rows : bool
        Leave rows of the list with errors out, instead of raising.

    Raises
    ------
    BadInput
        With every finding, if the list or its map cannot be used.
    """
    home = brief.home
    if home.source is None:
        return catalogue, ()
    mapping = read_map(Path(folder) / home.columns) if home.columns is not None else None
    source = read_source(beside(home.source, folder), mapping=mapping)
    return with_home(catalogue, source, quality=Decimal(home.quality), skip_bad_rows=skip_bad_rows)


def beside(source: str, folder: str | Path) -> SourceAddress:
    """Return the address of a source whose path leads from a folder; a database's stays."""
    address = SourceAddress(source)
    if address.is_database or Path(address.location).is_absolute() or str(folder) == ".":
        return address
    return SourceAddress(str(Path(folder) / source))
