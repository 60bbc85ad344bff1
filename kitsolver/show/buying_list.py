"""The buying list as CSV (RFC 4180). It holds trade costs, and is for the shop only."""

from __future__ import annotations

from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.columns.registry import KNOWN
from kitsolver.shop.money import to_text
from kitsolver.show.csv_text import Cell, csv_text
from kitsolver.solve.outcome import Outcome

_COLUMNS = ("sku", "name", "category", "role", "units", "price", "line_total", "quality")


def buying_list(outcome: Outcome, catalogue: Catalogue) -> str:
    """Return what is bought for a kit as CSV; only the header if there is no kit.

    After our columns come ``trade_cost``, where the catalogue has it, and the shop's own columns.
    """
    lines = outcome.kit.lines if outcome.kit else ()
    header = list(catalogue.cells.columns)
    shop_columns = [column for column in header if column not in KNOWN or column == "trade_cost"]
    currency = outcome.brief.currency
    rows: list[list[Cell]] = []
    for line in lines:
        if not line.bought:
            continue
        cells = catalogue.row(line.sku)
        price, cost = (to_text(minor, currency) for minor in (line.price, line.total))
        texts = (line.sku, line.name, line.category, line.role)
        rest = (cells[column] for column in shop_columns)
        rows.append([*texts, line.bought, price, cost, line.quality / 100, *rest])
    return csv_text([*_COLUMNS, *shop_columns], rows)
