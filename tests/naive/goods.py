"""The catalogue's rows, and what the brief demands of each."""

import csv
import io
from dataclasses import dataclass
from fractions import Fraction

from .numbers import exact, half_up
from .till import minor

BLANK_MEANS = {"serves": "1", "skein_m": "8", "strands": "6", "kind": "cotton"}


@dataclass(frozen=True, eq=False)
class Row:
    sku: str
    category: str
    price: int
    quality: Fraction
    stock: int | None
    serves: int
    cells: dict
    trade: Fraction | None = None
    tax: Fraction | None = None
    download: bool = False

    def parts(self, column):
        cell = self.cells[column] or BLANK_MEANS.get(column, "")
        return [part.strip() for part in cell.split(";") if part.strip()]


def read(text, brief):
    """Read the rows that may be bought; owned rows cost nothing and never run out."""
    own, left_out = (set(brief.get("choose", {}).get(key, [])) for key in ("own", "leave_out"))
    rows = []
    for record in csv.DictReader(io.StringIO(text.removeprefix("\ufeff"), newline="")):
        cells = {column: cell.strip() for column, cell in record.items()}
        owned = cells["sku"] in own
        cost = cells.get("trade_cost", "")
        uncosted = not cost and not owned and "sell_at" in brief.get("shop", {})
        # What is cut off the roll is bought in steps, and priced for 10 cm.
        part = exact(cells["step_cm"] or 10) / 10 if cells.get("sold_by") == "length" else 1
        row = Row(
            sku=cells["sku"],
            category=cells["category"],
            price=0 if owned else int(minor(cells["price"], brief["currency"]) * part),
            quality=exact(cells["quality"]),
            stock=None
            if owned or not cells["stock"] or cells.get("download") == "yes"
            else int(cells["stock"]),
            serves=int(cells["serves"] or 1),
            cells=cells,
            trade=None
            if uncosted
            else Fraction(minor(cost or 0, brief["currency"]) * part * (not owned)),
            tax=exact(cells["tax_rate"]) if cells.get("tax_rate") else None,
            download=cells.get("download") == "yes",
        )
        if row.sku not in left_out:
            rows.append(row)
    return rows


def in_stock(row, units):
    return row.stock is None or units <= row.stock


def worth(row, need):
    """Give what a row counts as the choice of a need: its quality, or what is weighed instead."""
    weighed = need.get("score")
    if not weighed:
        return row.quality
    total = Fraction(0)
    for column, weight in weighed.items():
        low, high = map(exact, need.get("range", {}).get(column, [0, 100]))
        cell = row.cells.get(column, "")
        share = (exact(cell) - low) / (high - low) if cell else Fraction(0)
        total += exact(weight) * max(Fraction(0), min(Fraction(1), share))
    return Fraction(half_up(10_000 * total / sum(map(exact, weighed.values()))), 100)


def fits_in(row, whole):
    """Tell whether a row meets what is asked of the whole kit."""
    tags = set(row.parts("tags"))
    return set(whole.get("tags_all", [])) <= tags and not tags & set(whole.get("tags_none", []))


def meets(row, need, brief):
    """Tell whether a row meets the conditions that a table sets, and those of the whole kit."""
    tags = set(row.parts("tags"))
    return (
        fits_in(row, brief.get("all", {}))
        and row.trade is not None
        and all(
            any(equal(part, value) for part in row.parts(column) for value in values)
            for column, values in need.get("only", {}).items()
        )
        and (not need.get("tags_any") or bool(tags & set(need["tags_any"])))
        and not tags & set(need.get("tags_none", []))
        and ("max_price" not in need or exact(row.cells["price"]) <= exact(need["max_price"]))
        and ("min_quality" not in need or row.quality >= exact(need["min_quality"]))
    )


def equal(part, value):
    if isinstance(value, str):
        return part == value
    try:
        return exact(part) == exact(value)
    except ArithmeticError:  # the cell holds no number
        return False
