"""What the page shows of a catalogue without asking for a kit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from kitsolver.craft.colour import lab
from kitsolver.page.catalogue_to_read import CatalogueToRead, catalogue_of
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.findings import Finding
from kitsolver.shop.skipped import RowCounts
from kitsolver.show.sheet.things import short_name

# The tags that most rows of a category have.
_TAGS_SHOWN = 24
_CHARTS_SHOWN = 300
_SWATCHES_SHOWN = 72
_COLOURS_KEPT = 5_000
# Colours of less chroma are shown as greys.
_GREY = 8


@dataclass(frozen=True, eq=False)
class CatalogueSummary:
    """What a catalogue holds. Only itself is equal to it, so that what it means is found once.

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
    threads : tuple of (str, str)
        Some thread colours, from dark to light, and what they are called.
    thread_colours : tuple of str
        The colours of thread; of very many the first.
    findings : tuple of Finding
        What was found when it was read.
    """

    row_counts: RowCounts
    categories_rows: tuple[tuple[str, int], ...]
    tags: Mapping[str, tuple[tuple[str, int], ...]]
    charts: tuple[tuple[str, str], ...]
    threads: tuple[tuple[str, str], ...]
    thread_colours: tuple[str, ...]
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
    if "chart" in catalogue.rows and len(catalogue.rows["chart"]) <= _CHARTS_SHOWN:
        skus = sorted(catalogue.rows["chart"]["sku"])
        charts = tuple((sku, catalogue.row(sku)["name"]) for sku in skus)
    return CatalogueSummary(
        row_counts=catalogue.row_counts,
        categories_rows=tuple(sorted((name, len(shelf)) for name, shelf in catalogue.rows.items())),
        tags=_tags(catalogue),
        charts=charts,
        threads=_threads(catalogue),
        thread_colours=_thread_colours(catalogue),
        findings=catalogue.findings,
    )


def _thread_colours(catalogue: Catalogue) -> tuple[str, ...]:
    if "thread" not in catalogue.rows:
        return ()
    cells = catalogue.rows["thread"]["colours"][:_COLOURS_KEPT]
    return tuple(dict.fromkeys(colour for cell in cells for colour in cell.split(";")))


def _threads(catalogue: Catalogue) -> tuple[tuple[str, str], ...]:
    """Return single threads spread over the colours, from dark to light, with their names."""
    if "thread" not in catalogue.rows:
        return ()
    threads = catalogue.rows["thread"]
    each = zip(threads["sku"][:_COLOURS_KEPT], threads["colours"][:_COLOURS_KEPT], strict=True)
    named = {
        colour: short_name(catalogue.row(sku)["name"]) for sku, colour in each if ";" not in colour
    }
    if not named:
        return ()
    colours = list(named)
    places = lab(colours)
    # By hue in twelve parts, and within one from dark to light.
    hues = np.degrees(np.arctan2(places[:, 2], places[:, 1])) % 360 // 30
    grey = np.hypot(places[:, 1], places[:, 2]) < _GREY
    order = np.lexsort((places[:, 0], np.where(grey, -1, hues)))
    step = max(1, -(-len(order) // _SWATCHES_SHOWN))
    return tuple((colours[place], named[colours[place]]) for place in order[::step])


def _tags(catalogue: Catalogue) -> dict[str, tuple[tuple[str, int], ...]]:
    """Return the tags of each category, and under a blank name those of all rows."""
    if "tags" not in catalogue.cells:
        return {}
    counts: dict[str, Counter[str]] = {"": Counter()}
    cells = zip(catalogue.cells["category"], catalogue.cells["tags"], strict=True)
    for (category, cell), rows in Counter(cells).items():
        for tag in {tag.strip() for tag in cell.split(";")} - {""}:
            counts.setdefault(category, Counter())[tag] += rows
            counts[""][tag] += rows
    return {
        category: tuple(sorted(tags.items(), key=lambda one: (-one[1], one[0]))[:_TAGS_SHOWN])
        for category, tags in counts.items()
    }
