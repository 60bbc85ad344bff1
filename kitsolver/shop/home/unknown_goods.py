"""Rows of a home list that say no more than a sku, which the catalogue lacks: mistyped, most often.

Goods that are only at home say at least their category.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.cell_faults import shortened
from kitsolver.shop.findings import Finding, nearest
from kitsolver.shop.home import home_findings

# For so many skus the nearest one is looked for among all of a catalogue.
_MOST_HINTS = 5


def nearest_skus(skus: Iterable[str], catalogue: Catalogue) -> dict[str, str]:
    """Return hints at the nearest sku of a catalogue, for the first of some skus that it lacks."""
    unknown = [sku for sku in dict.fromkeys(skus) if sku and sku not in catalogue]
    return {sku: nearest(sku, catalogue.skus) for sku in unknown[:_MOST_HINTS]}


def unknown_at_home(file: str, row: int, sku: str, hints: Mapping[str, str]) -> Finding:
    """Return the finding that a catalogue has no goods of the sku of a row."""
    otherwise = "correct the sku, or fill in the name and category of what is only at home"
    return home_findings.UnknownAtHome(
        file=file,
        row=row,
        column="sku",
        value=shortened(sku),
        detail=hints.get(sku) or otherwise,
    )
