"""Catalogues with some rows of another: all of them in stock, or these rows alone."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from kitsolver.shop.catalogue import UNLIMITED, Catalogue
from kitsolver.shop.row_table import RowTable


def with_rows(catalogue: Catalogue, skus: Collection[str]) -> Catalogue:
    """Return a catalogue of some rows alone."""
    rows = {}
    for category in sorted({catalogue.row(sku)["category"] for sku in skus}):
        of_category = catalogue.rows[category]
        rows[category] = of_category.where(of_category.having("sku", skus))
    cells = catalogue.cells
    return replace(catalogue, rows=rows, cells=cells.where(cells.having("sku", skus)))


def restocked(catalogue: Catalogue, skus: Collection[str] | None = None) -> Catalogue:
    """Return a catalogue in which some rows, or all, have unlimited stock."""

    def those(rows: RowTable) -> NDArray[np.bool_]:
        return np.ones(len(rows), dtype=bool) if skus is None else rows.having("sku", skus)

    rows = {
        category: goods.with_columns(stock=np.where(those(goods), UNLIMITED, goods["stock"]))
        for category, goods in catalogue.rows.items()
    }
    cells = catalogue.cells
    if "stock" in cells:
        stock = np.where(those(cells), "", cells["stock"])
        cells = cells.with_columns(stock=stock.astype(object))
    home = catalogue.home
    if home is not None:
        # As if the shop sold what is only at home, at no price.
        listed = {
            sku: replace(row, only_here=row.only_here and skus is not None and sku not in skus)
            for sku, row in home.rows.items()
        }
        home = replace(home, rows=listed)
    return catalogue.with_stock(rows, cells, home)
