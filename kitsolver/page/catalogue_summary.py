"""What the page shows of a catalogue without asking for a kit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from kitsolver.page.worker import CatalogueToRead, catalogue_of
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.findings import Finding
from kitsolver.shop.skipped import RowCounts

# The tags that most rows of a category have.
_TAGS_SHOWN = 24
_CHARTS_SHOWN = 300


@dataclass(frozen=True)
class CatalogueSummary:
    """What a catalogue holds.

    Parameters
    ----------
    row_counts : RowCounts
        How many rows can be used, and how many are left out.
    categories_rows : tuple of (str, int)
        Every category and its rows, sorted.
    tags : mapping of str to tuple of (str, int)
        For each category the tags that most of its rows have, with the number of rows; under a
        blank name those of all rows.
    charts : tuple of (str, str)
        Sku and name of each chart; empty if there are very many.
    findings : tuple of Finding
        What was found when it was read.
    """

    row_counts: RowCounts
    categories_rows: tuple[tuple[str, int], ...]
    tags: Mapping[str, tuple[tuple[str, int], ...]]
    charts: tuple[tuple[str, str], ...]
    findings: tuple[Finding, ...]

    @property
    def rows(self) -> int:
        """How many rows can be used."""
        return self.row_counts.offered

    def tags_of(self, category: str) -> tuple[tuple[str, int], ...]:
        """Return the tags that most rows of a category have, with the number of rows."""
        return self.tags.get(category, ())


def summary_of(source: CatalogueToRead) -> CatalogueSummary:
    """Return what a catalogue holds; a task of worker processes.

    Raises
    ------
    BadInput
        If it cannot be used.
    """
    catalogue = catalogue_of(source)
    charts: tuple[tuple[str, str], ...] = ()
    if "chart" in catalogue.shelves and len(catalogue.shelves["chart"]) <= _CHARTS_SHOWN:
        skus = sorted(catalogue.shelves["chart"]["sku"])
        charts = tuple((sku, catalogue.row(sku)["name"]) for sku in skus)
    return CatalogueSummary(
        row_counts=catalogue.row_counts,
        categories_rows=tuple(
            sorted((name, len(shelf)) for name, shelf in catalogue.shelves.items())
        ),
        tags=_tags(catalogue),
        charts=charts,
        findings=catalogue.findings,
    )


def _tags(catalogue: Catalogue) -> dict[str, tuple[tuple[str, int], ...]]:
    """Return the tags of each category, and under a blank name those of all rows."""
    if "tags" not in catalogue.text:
        return {}
    counts: dict[str, Counter[str]] = {"": Counter()}
    categories = catalogue.text["category"].str.casefold()
    cells = zip(categories, catalogue.text["tags"], strict=True)
    for (category, cell), rows in Counter(cells).items():
        for tag in {tag.strip() for tag in cell.split(";")} - {""}:
            counts.setdefault(category, Counter())[tag] += rows
            counts[""][tag] += rows
    return {
        category: tuple(sorted(tags.items(), key=lambda one: (-one[1], one[0]))[:_TAGS_SHOWN])
        for category, tags in counts.items()
    }
