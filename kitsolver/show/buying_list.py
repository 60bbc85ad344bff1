"""The buying list as CSV (RFC 4180), for the shop: with its own columns and its trade costs."""

from __future__ import annotations

import csv
import io
import re

from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.columns import KNOWN
from kitsolver.shop.money import to_text
from kitsolver.solve.outcome import Outcome

_COLUMNS = ("sku", "name", "category", "role", "units", "price", "line_total", "quality")
# A spreadsheet takes a cell that begins so for a formula (OWASP, CSV injection).
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")
_NUMBER = re.compile(r"[+-]?[0-9]+([.,][0-9]+)?")


def buying_list(outcome: Outcome, catalogue: Catalogue) -> str:
    """Return the lines of a kit as CSV; the header alone if there is no kit.

    The shop's own columns follow, and ``trade_cost`` where the catalogue has it.
    """
    lines = outcome.kit.lines if outcome.kit else ()
    header = [str(column) for column in catalogue.text.columns]
    own = [column for column in header if column not in KNOWN or column == "trade_cost"]
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow([plain(cell) for cell in (*_COLUMNS, *own)])
    currency = outcome.brief.currency
    for line in lines:
        row = catalogue.row(line.sku)
        price, cost = (to_text(minor, currency) for minor in (line.price, line.total))
        texts = (plain(cell) for cell in (line.sku, line.name, line.category, line.role))
        rest = (plain(row[column]) for column in own)
        writer.writerow([*texts, line.units, price, cost, line.quality / 100, *rest])
    return text.getvalue()


def plain(cell: str) -> str:
    """Return a text cell that no spreadsheet takes for a formula; numbers stay numbers."""
    harmless = not cell.startswith(_FORMULA) or _NUMBER.fullmatch(cell)
    return cell if harmless else f"'{cell}"
