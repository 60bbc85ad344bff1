"""From the rows of a source to a catalogue, or to everything that is wrong with them."""

from __future__ import annotations

from dataclasses import replace
from os import PathLike
from typing import TYPE_CHECKING

import numpy as np

from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.columns.goods_columns import ROLL, SIZES
from kitsolver.shop.columns.header import header_findings
from kitsolver.shop.columns.registry import columns
from kitsolver.shop.columns.row_reading import RowReading
from kitsolver.shop.findings import BadInput
from kitsolver.shop.source import Source, read_source
from kitsolver.shop.sources import file_findings
from kitsolver.shop.sources.records import Records
from kitsolver.shop.sources.source_address import SourceAddress

if TYPE_CHECKING:
    from kitsolver.shop.maps.mapping import ColumnMap
    from kitsolver.shop.sources.frame_source import Table


def read_catalogue(
    source: str | PathLike[str] | SourceAddress | Table,
    *,
    currency: str | None = None,
    skip_bad_rows: bool = False,
    name: str | None = None,
    mapping: ColumnMap | None = None,
    keep_written: bool = False,
) -> Catalogue:
    """Read and check a catalogue.

    Parameters
    ----------
    source : str, path-like, SourceAddress or dataframe
        What `kitsolver.shop.sources.read_source` takes: a CSV file, a spreadsheet, a Parquet file,
        the address of a database, or a table in memory: a pandas DataFrame, or one of any library
        that has the dataframe interchange protocol. Findings count its rows from 1.
    currency : str, optional
        The currency (ISO 4217) whose decimals the prices may have.
    skip_bad_rows : bool
        Leave rows with errors out, instead of raising.
    name : str, optional
        What findings call the source, if not by its address.
    mapping : ColumnMap, optional
        How the source's headers and values become ours.
    keep_written : bool
        Keep the rows as the shop writes them, too, for what is written in the shop's own way.

    Returns
    -------
    Catalogue
        All rows, or with `skip_bad_rows` the usable ones.

    Raises
    ------
    BadInput
        If a row has an error and is not to be skipped, or if the source as a whole is unusable.
        It carries every finding, warnings too, in the order of the rows.
    KeyError
        If `currency` is unknown.
    """
    columns(currency)
    return catalogue_of(
        read_source(source, name=name, mapping=mapping),
        currency=currency,
        skip_bad_rows=skip_bad_rows,
        keep_written=keep_written,
    )


def catalogue_of(
    source: Source,
    *,
    currency: str | None = None,
    skip_bad_rows: bool = False,
    keep_written: bool = False,
) -> Catalogue:
    """Check the rows of a source that has been read.

    Parameters
    ----------
    source : Source
        Its rows under our names.
    currency, skip_bad_rows, keep_written
        As `read_catalogue` has them.

    Raises
    ------
    BadInput, KeyError
        As `read_catalogue` does.
    """
    described = columns(currency)
    name, records, mapping = source.name, _in_lower_case(source.records), source.mapping
    of_header = [*records.notes, *header_findings(name, records)]
    reading = RowReading(name, records, of_header)
    if currency is None:
        reading.find(file_findings.DecimalsUnchecked, "price")
    reading.check_totals()
    by_category = reading.sort_by_category()
    reading.check_needed(described, by_category)
    values = {column: reading.convert(column, by_category) for column in described}
    rolls = reading.rolls(by_category)
    for size in SIZES:
        everyone = by_category.get(size.category, np.empty(0, dtype=np.intp))
        reading.check_size(size, np.setdiff1d(everyone, rolls))
    reading.check_size(ROLL, rolls)
    reading.check_for_each_colour(by_category)
    reading.check_openings()
    reading.check_duplicates()
    reading.check_formulas()

    findings = reading.sorted_findings()
    if mapping is not None:
        findings = tuple(map(mapping.place, findings))
    decisive = of_header if skip_bad_rows else findings
    if not all(finding.warning for finding in decisive):
        raise BadInput(findings)
    rows = reading.shelves(by_category, values)
    # The largest source fits in memory only if what is done with is given up.
    del values
    return Catalogue(
        name=name,
        currency=currency,
        cells=reading.text(),
        rows=rows,
        findings=findings,
        categories=frozenset(by_category),
        skipped=(*reading.refused_rows(), *records.skipped),
        refused=reading.refused_skus(),
        passed_over=records.passed_over,
        written=source.as_written if keep_written else None,
    )


# Read in any case, and held in lower case.
_ANY_CASE = frozenset({"category", "weave", "kind", "colour_kinds"})


def _in_lower_case(records: Records) -> Records:
    """Return the rows of a source with what is read in any case held in lower case."""
    columns = dict(records.columns)
    for name in _ANY_CASE.intersection(columns):
        coded = columns[name]
        texts = np.array([text.lower() for text in coded.texts], dtype=object)
        if (texts != coded.texts).any():
            written = coded.texts if coded.written is None else coded.written
            columns[name] = replace(coded, texts=texts, written=written).distinct()
    return replace(records, columns=columns)
