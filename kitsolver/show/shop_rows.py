"""Rows for the shop's own list of goods once bundles are packed, written as the shop writes it.

They hold trade costs, and are for the shop only.
"""

from __future__ import annotations

from collections.abc import Iterable

from kitsolver.craft.lengths import rounded
from kitsolver.explain.copies import supplies_of
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.findings import BadInput, Finding
from kitsolver.shop.maps.written import Written
from kitsolver.shop.money import to_text
from kitsolver.shop.sources.encodings import encoding_name
from kitsolver.show.csv_text import csv_text
from kitsolver.show.shortage import shortage_sentences
from kitsolver.solve.outcome import Kit, Outcome

CATEGORY = "bundle"
SKU = "BUNDLE"


class NotInEncoding(Finding):
    """A row of the bundle has a character that the encoding of the shop's file lacks."""

    says = "The row of the bundle holds `{value}`, which cannot be written in {detail}."
    mend = "give the brief a title, or the bundle a sku, without it"


def bundle_row(outcome: Outcome, catalogue: Catalogue, *, copies: int = 1, sku: str = SKU) -> bytes:
    """Return a row for the packed bundle as a CSV file, with the shop's own headers.

    It is written in the encoding of the shop's file, with its delimiter and its decimal mark, on
    its scale of quality and with its word for the category ``bundle``. It says ``sku``, ``name``
    (the brief's title, or else the sku), ``category``, ``price`` (`sell_at` of the brief, or else
    what the goods come to after the discount), ``quality``, ``stock``, ``serves``, ``tax_rate`` if
    all goods have the same, and ``trade_cost`` if the brief asks for a margin, as far as the shop
    has these columns. Its other cells are blank.

    Parameters
    ----------
    outcome : Outcome
        With the kit that is packed.
    catalogue : Catalogue
        What it was picked from, read with `keep_written`.
    copies : int
        How many are packed: the stock of the bundle.
    sku : str
        What the shop calls the bundle.

    Raises
    ------
    BadInput
        If the shop's encoding lacks a character of the row.
    ValueError
        If there is no kit, if the stock does not make so many, or if the catalogue was read without
        `keep_written`.
    """
    kit, written = _kit_of(outcome), _written(catalogue)
    _check_stock(outcome, catalogue, copies)
    cells: dict[str, str] = {}
    for column, cell in _bundle(outcome, kit, catalogue, copies, sku).items():
        theirs = written.header_of(column)
        if theirs is not None:
            cells.setdefault(theirs, cell)
    header = written.records.header
    return _encoded(catalogue.name, written, header, [[cells.get(name, "") for name in header]])


def stock_after(outcome: Outcome, catalogue: Catalogue, *, copies: int = 1) -> bytes:
    """Return the shop's rows whose stock changes when a kit is packed, as a CSV file.

    All other cells are as the shop wrote them, in the encoding and with the delimiter of its file.
    Rows without a limit to their stock, and what comes from home, do not change.

    Parameters
    ----------
    outcome, catalogue, copies
        As `bundle_row` has them.

    Raises
    ------
    ValueError
        As `bundle_row` does.
    """
    kit, written = _kit_of(outcome), _written(catalogue)
    _check_stock(outcome, catalogue, copies)
    left = {
        catalogue.row_number(each.sku): each.stock - copies * each.units
        for each in supplies_of(kit, outcome.brief, catalogue.stock_of)
        if each.stock is not None
    }
    numbers = sorted(left)
    column = written.header_of("stock") or "stock"
    header = list(dict.fromkeys([*written.records.header, column]))
    rows = []
    for number, cells in zip(numbers, written.rows(numbers), strict=True):
        row = dict(zip(written.records.header, cells, strict=True)) | {column: str(left[number])}
        rows.append([row[name] for name in header])
    return _encoded(catalogue.name, written, header, rows)


def _bundle(
    outcome: Outcome, kit: Kit, catalogue: Catalogue, copies: int, sku: str
) -> dict[str, str]:
    """Return what is said of the bundle, by our columns."""
    brief, written = outcome.brief, _written(catalogue)
    sold = kit.receipt.goods - kit.receipt.discount
    if brief.shop.sell_at is not None:
        sold = brief.minor(brief.shop.sell_at)
    cells = {
        "sku": sku,
        "name": brief.title or sku,
        "category": written.category(CATEGORY),
        "price": written.number(to_text(sold, brief.currency)),
        "quality": written.quality(rounded(kit.figures.quality, unit=1)),
        "stock": str(copies),
        "serves": str(brief.heads),
    }
    rates = {catalogue.row(line.sku).get("tax_rate", "") for line in kit.lines if line.bought}
    if len(rates) == 1:
        cells["tax_rate"] = written.number(rates.pop())
    if kit.trade_cost is not None:
        cells["trade_cost"] = written.number(to_text(kit.trade_cost, brief.currency))
    return cells


def _kit_of(outcome: Outcome) -> Kit:
    if outcome.kit is None:
        raise ValueError("there is no kit, so no bundle can be packed")
    return outcome.kit


def _written(catalogue: Catalogue) -> Written:
    if catalogue.written is None:
        raise ValueError("read the catalogue with keep_written=True")
    return catalogue.written


def _check_stock(outcome: Outcome, catalogue: Catalogue, copies: int) -> None:
    """Raise ValueError if the stock does not make so many copies."""
    if lacking := " ".join(shortage_sentences(outcome, copies, catalogue)):
        raise ValueError(lacking)


def _encoded(
    file: str, written: Written, header: Iterable[str], rows: Iterable[Iterable[str]]
) -> bytes:
    """Return rows as the shop's file is written; a source that is no CSV file gives UTF-8."""
    found = written.records.format
    codec = found.encoding or "utf-8"
    text = csv_text(header, rows, delimiter=found.delimiter or ",")
    try:
        return text.encode(codec)
    except UnicodeEncodeError as fault:
        value, name = text[fault.start : fault.end], encoding_name(codec)
        raise BadInput([NotInEncoding(file=file, value=value, detail=name)]) from None
