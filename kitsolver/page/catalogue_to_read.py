"""What the page reads a catalogue from, and the catalogues that a worker remembers."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from functools import lru_cache
from pathlib import Path
from typing import Any

CATALOGUES_REMEMBERED = 3


@dataclass(frozen=True)
class HomeToRead:
    """A home list that was handed in: its name, where its bytes are, and its goods' quality."""

    name: str
    path: Path
    quality: str = "50"


@dataclass(frozen=True)
class CatalogueToRead:
    """A catalogue file, and how it is to be read.

    Parameters
    ----------
    digest : str
        Of its bytes.
    name : str
        What its owner calls it.
    path : Path
        Where its bytes are.
    currency : str or None
        Of its prices; None where that is not known yet.
    skip_bad_rows : bool
        Whether rows with errors are left out.
    columns : Path or None
        Where the map is by which it is read.
    home : HomeToRead or None
        The list of what is at home, which is held beside it.
    """

    digest: str
    name: str
    path: Path
    currency: str | None = None
    skip_bad_rows: bool = False
    columns: Path | None = None
    home: HomeToRead | None = None

    def priced_in(self, currency: str) -> CatalogueToRead:
        """Return the same with prices in a currency."""
        return replace(self, currency=currency)


@lru_cache(CATALOGUES_REMEMBERED)
def catalogue_of(source: CatalogueToRead) -> Any:
    """Return a catalogue, read once.

    Raises
    ------
    BadInput
        If it cannot be used.
    """
    from kitsolver.shop.home.home_reading import with_home
    from kitsolver.shop.maps.mapping import read_map
    from kitsolver.shop.reading import read_catalogue
    from kitsolver.shop.source import read_source

    catalogue = read_catalogue(
        source.path,
        currency=source.currency,
        skip_bad_rows=source.skip_bad_rows,
        name=source.name,
        mapping=read_map(source.columns) if source.columns else None,
    )
    if source.home is None:
        return catalogue
    rows = read_source(source.home.path, name=source.home.name, header_by=("sku",))
    return with_home(catalogue, rows, quality=Decimal(source.home.quality))[0]
