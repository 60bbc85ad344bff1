"""What the page shows of a catalogue without asking for a kit."""

from __future__ import annotations

from dataclasses import dataclass

from kitsolver.page.worker import CatalogueToRead, catalogue_of
from kitsolver.shop.findings import Finding
from kitsolver.shop.skipped import RowCounts

_TAGS_SHOWN = 200
_CHARTS_SHOWN = 300


@dataclass(frozen=True)
class CatalogueSummary:
    """What a catalogue holds.

    Parameters
    ----------
    row_counts : RowCounts
        How many rows can be used, and how many are left out.
    categories, tags : tuple of str
        Sorted; of very many tags the first.
    charts : tuple of (str, str)
        Sku and name of each chart; empty if there are very many.
    findings : tuple of Finding
        What was found when it was read.
    """

    row_counts: RowCounts
    categories: tuple[str, ...]
    tags: tuple[str, ...]
    charts: tuple[tuple[str, str], ...]
    findings: tuple[Finding, ...]

    @property
    def rows(self) -> int:
        """How many rows can be used."""
        return self.row_counts.offered


def summary_of(source: CatalogueToRead) -> CatalogueSummary:
    """Return what a catalogue holds; a task of worker processes.

    Raises
    ------
    BadInput
        If it cannot be used.
    """
    catalogue = catalogue_of(source)
    tags: set[str] = set()
    if "tags" in catalogue.text:
        cells = catalogue.text["tags"].unique()
        tags = {tag.strip() for cell in cells for tag in cell.split(";")}
    charts: tuple[tuple[str, str], ...] = ()
    if "chart" in catalogue.shelves and len(catalogue.shelves["chart"]) <= _CHARTS_SHOWN:
        skus = sorted(catalogue.shelves["chart"]["sku"])
        charts = tuple((sku, catalogue.row(sku)["name"]) for sku in skus)
    return CatalogueSummary(
        row_counts=catalogue.row_counts,
        categories=tuple(sorted(catalogue.shelves)),
        tags=tuple(sorted(tags - {""})[:_TAGS_SHOWN]),
        charts=charts,
        findings=catalogue.findings,
    )
