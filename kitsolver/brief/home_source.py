"""The home list that a brief names, read and held against a catalogue."""

from __future__ import annotations

from pathlib import Path

from kitsolver.brief.brief import Brief
from kitsolver.brief.brief_findings import HomeMapAlone
from kitsolver.brief.home_keys import HomeKeys
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.findings import BadInput, Finding
from kitsolver.shop.home.home_reading import with_home
from kitsolver.shop.source import Source, read_source
from kitsolver.shop.sources.source_address import SourceAddress


def with_home_list(
    catalogue: Catalogue,
    brief: Brief,
    *,
    folder: str | Path = ".",
    home: str | None = None,
    home_columns: str | None = None,
    skip_bad_rows: bool = False,
) -> tuple[Brief, Catalogue, tuple[Finding, ...]]:
    """Return brief and catalogue with the home list that the brief names, and its findings.

    Parameters
    ----------
    catalogue : Catalogue
        What is for sale.
    brief, folder, home, home_columns
        As `read_home` has them; without a list brief and catalogue stay as they are.
    skip_bad_rows : bool
        Leave rows of the list with errors out, instead of raising.

    Raises
    ------
    BadInput
        With every finding, if the list or its map cannot be used.
    """
    brief, source = read_home(brief, folder=folder, home=home, home_columns=home_columns)
    if source is None:
        return brief, catalogue, ()
    found = with_home(catalogue, source, quality=brief.home.quality, skip_bad_rows=skip_bad_rows)
    return brief, *found


def read_home(
    brief: Brief,
    *,
    folder: str | Path = ".",
    home: str | None = None,
    home_columns: str | None = None,
) -> tuple[Brief, Source | None]:
    """Return a brief that names the home list, and the rows of the list; None without one.

    Parameters
    ----------
    brief : Brief
        What is asked.
    folder : str or Path
        From where the paths in the brief lead, usually the brief's own folder.
    home, home_columns : str, optional
        Another list, which comes with its own map or with none; and another map. Their paths lead
        from the working folder.

    Raises
    ------
    BadInput
        With every finding, if the list or its map cannot be read.
    """
    named, rows = read_list(brief.home, folder=folder, home=home, home_columns=home_columns)
    return (brief if rows is None else brief.model_copy(update={"home": named})), rows


def read_list(
    said: HomeKeys,
    *,
    folder: str | Path = ".",
    home: str | None = None,
    home_columns: str | None = None,
    keep_bytes: bool = False,
) -> tuple[HomeKeys, Source | None]:
    """Return what names the home list, and the rows of the list; None without one.

    Parameters
    ----------
    said : HomeKeys
        What the brief says of it.
    folder, home, home_columns
        As `read_home` has them.
    keep_bytes : bool
        Whether the bytes of the list are asked for afterwards.

    Raises
    ------
    BadInput
        With every finding, if the list or its map cannot be read.
    """
    own_folder = Path(folder)
    source = home if home is not None else said.source
    columns = home_columns if home_columns is not None or home is not None else said.columns
    if source is None:
        if home_columns is not None:
            alone = HomeMapAlone(file="brief", column="--home-columns", value=home_columns)
            raise BadInput([alone])
        return said, None
    mapping = None
    if columns is not None:
        # The type of a map takes a while to build.
        from kitsolver.shop.maps.mapping import read_map

        mapping = read_map(columns if columns == home_columns else own_folder / columns)
    address = SourceAddress(source) if home is not None else beside(source, own_folder)
    named = said.model_copy(update={"source": source, "columns": columns})
    rows = read_source(address, mapping=mapping, header_by=("sku",), keep_bytes=keep_bytes)
    return named, rows


def beside(source: str, folder: str | Path) -> SourceAddress:
    """Return the address of a source whose path leads from a folder; a database's stays."""
    address = SourceAddress(source)
    if address.is_database or Path(address.location).is_absolute() or Path(folder) == Path():
        return address
    return SourceAddress(str(Path(folder) / source))
