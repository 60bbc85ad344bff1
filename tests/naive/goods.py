"""The catalogue's rows, and what the brief demands of each."""

import csv
import io
from dataclasses import dataclass
from fractions import Fraction

from .home import listed
from .home import there as at_home
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
    home: int = 0  # units at home
    metres: Fraction | None = None  # of a single thread that is listed at home

    def parts(self, column):
        return parted(self.cells, column)


def parted(cells, column):
    cell = cells.get(column, "") or BLANK_MEANS.get(column, "")
    return [part.strip() for part in cell.split(";") if part.strip()]


def read(text, brief, home_text=""):
    """Read the rows that may be taken; owned rows cost nothing and never run out."""
    own, left_out = (set(brief.get("choose", {}).get(key, [])) for key in ("own", "leave_out"))
    rows, home = [], listed(home_text)
    records = list(csv.DictReader(io.StringIO(text.removeprefix("\ufeff"), newline="")))
    in_shop = {record["sku"].strip() for record in records}
    usual = str(brief.get("home", {}).get("quality", 50))
    for sku, said in home.items():
        if sku not in in_shop:
            new = {**dict.fromkeys(records[0], ""), **said, "price": "0"}
            records.append(new | {"quality": said.get("quality") or usual})
    for record in records:
        cells = {column: cell.strip() for column, cell in record.items()}
        units, metres = (0, None)
        only = cells["sku"] not in in_shop
        if cells["sku"] in home:
            units, metres = at_home(home[cells["sku"]], cells)
            if only:
                cells |= {"stock": home[cells["sku"]].get("stock") or "1"}
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
            # What the shop does not have, or has at a cost unknown, only home has.
            stock=0
            if only or (uncosted and (units or metres))
            else None
            if owned or not cells["stock"] or cells.get("download") == "yes"
            else int(cells["stock"]),
            serves=int(cells["serves"] or 1),
            cells=cells,
            trade=None
            if uncosted and not (units or metres)
            else Fraction(minor(cost or 0, brief["currency"]) * part * (not owned)),
            tax=exact(cells["tax_rate"]) if cells.get("tax_rate") else None,
            download=cells.get("download") == "yes",
            home=units,
            metres=metres,
        )
        if row.category == "chart":
            cells |= figures(cells["colours"])
        if row.sku not in left_out:
            rows.append(row)
    return rows


def figures(colours):
    """Give the columns of a chart that are computed: the sum of stitches, and the colours."""
    stitches = [exact(entry.split(":")[1]) for entry in colours.split(";")]
    whole, half = divmod(sum(stitches, Fraction(0)), 1)
    return {"stitches": f"{whole}.5" if half else str(whole), "shades": str(len(stitches))}


def in_stock(row, units):
    return row.stock is None or bought(row, units) <= row.stock


def bought(row, units):
    """Give how many of some units are bought, those at home taken first."""
    return max(0, units - row.home)


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
    return (
        fits_in(row, brief.get("all", {}))
        and row.trade is not None
        and conditions_met(row.cells, need, brief)
    )


def conditions_met(cells, need, brief):
    """Tell whether cells meet the conditions of a table by themselves."""
    tags = set(parted(cells, "tags"))
    return (
        all(
            any(equal(part, value) for part in parted(cells, column) for value in values)
            for column, values in need.get("only", {}).items()
        )
        and (not need.get("tags_any") or bool(tags & set(need["tags_any"])))
        and not tags & set(need.get("tags_none", []))
        and ("max_price" not in need or exact(cells["price"]) <= exact(need["max_price"]))
        and ("min_quality" not in need or exact(cells["quality"]) >= exact(need["min_quality"]))
        and all(
            between(cells, column, need, brief)
            for column in {*need.get("at_least", {}), *need.get("at_most", {})}
        )
    )


def between(cells, column, need, brief):
    """Tell whether one number of a cell is within both bounds of a range."""
    low, high = (need.get(key, {}).get(column) for key in ("at_least", "at_most"))
    said = numbers(cells, column, brief)
    if column == "stock" and not said:
        return high is None
    return any(
        (low is None or number >= exact(low)) and (high is None or number <= exact(high))
        for number in said
    )


def numbers(cells, column, brief, *, default=True):
    """Give the numbers of a cell, of a length in whichever unit it is given."""
    cell = cells.get(column, "")
    factor = 1
    for here, there, times in (("_cm", "_in", "2.54"), ("_in", "_cm", None)):
        other = column.removesuffix(here) + there
        if column.endswith(here) and not cell and cells.get(other):
            cell, factor = cells[other], exact(times) if times else 1 / exact("2.54")
    if not cell and column == "tax_rate":
        cell = str(brief.get("till", {}).get("tax_rate", 0))
    if not cell and default:
        cell = {"smallest_cm": "10", "step_cm": "10", **BLANK_MEANS}.get(column, "")
    said = [part.strip() for part in cell.split(";")]
    return [exact(part) * factor for part in said if part and part.replace(".", "").isdigit()]


def equal(part, value):
    if isinstance(value, str):
        return part == value
    try:
        return exact(part) == exact(value)
    except ArithmeticError:  # the cell holds no number
        return False
