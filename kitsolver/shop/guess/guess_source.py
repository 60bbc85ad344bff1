"""From a source to the draft of its map: it is read with its header found by its shape."""

from __future__ import annotations

from os import PathLike

from kitsolver.shop.columns.registry import KNOWN
from kitsolver.shop.guess.draft import MapDraft
from kitsolver.shop.guess.guess_map import guess_map
from kitsolver.shop.guess.header_row import find_header
from kitsolver.shop.guess.words import all_words
from kitsolver.shop.maps.mapping import ColumnMap
from kitsolver.shop.source import read_source
from kitsolver.shop.sources.header_names import HeaderNames, folded
from kitsolver.shop.sources.records import Records
from kitsolver.shop.sources.source_address import SourceAddress


def guess_source(
    source: str | PathLike[str] | SourceAddress,
    *,
    name: str | None = None,
    mapping: ColumnMap | None = None,
) -> MapDraft:
    """Draft the map of a source.

    Parameters
    ----------
    source, name, mapping
        As `read_by_shape` has them.

    Raises
    ------
    BadInput
        As `read_by_shape` does.
    """
    return guess_map(read_by_shape(source, name=name, mapping=mapping))


def read_by_shape(
    source: str | PathLike[str] | SourceAddress,
    *,
    name: str | None = None,
    mapping: ColumnMap | None = None,
) -> Records:
    """Return the rows of a source under its own headers, of which none need be known.

    Parameters
    ----------
    source : str, path-like or SourceAddress
        What `kitsolver.shop.sources.read_source` takes.
    name : str, optional
        What findings call it, if not by its address.
    mapping : ColumnMap, optional
        Its `file` says how the source is written; nothing else of it is looked at.

    Raises
    ------
    BadInput
        If it cannot be read, or is beyond a bound.
    """
    words = KNOWN.union(map(folded, all_words("columns", "unused")))
    header = HeaderNames(known=words, by_shape=find_header)
    only_file = None if mapping is None else ColumnMap(file=mapping.file)
    read = read_source(source, name=name, mapping=only_file, header_by=header)
    return read.written or read.records
