"""The rows of a shop and of a home list, and whether a row meets conditions."""

import csv
import io
from fractions import Fraction
from functools import cache

PLACES = {"JPY": 0, "EUR": 2, "KWD": 3}
DEFAULTS = {"serves": "1", "download": "no", "sold_by": "unit"}
DEFAULTS_OF = {
    "thread": {"skein_m": "8", "strands": "6", "kind": "cotton"},
    "fabric": {"smallest_cm": "10", "step_cm": "10"},
}
INCH = Fraction(254, 100)


def number(said):
    """Give the exact number of a text, a whole number or a decimal."""
    return exact(str(said))


@cache
def exact(text):
    return Fraction(text)


def minor(said, currency):
    """Give money in minor units; the instances hold no finer sums."""
    units = number(said) * 10 ** PLACES[currency]
    assert units.denominator == 1
    return units.numerator


def up(value):
    """Round up to a whole number."""
    return -(-value // 1)


def half_up(value):
    """Round to the nearest whole number, halves up."""
    return (2 * value + 1) // 2


class Row:
    """A row as it may be bought: prices and costs of one unit, what is at home of it."""

    def __init__(self, cells, brief, said, in_shop):
        """Read cells; `said` are those of the home list, None where it is not listed."""
        currency = brief["currency"]
        self.cells, self.sku, self.category = cells, cells["sku"], cells["category"]
        self.owned = self.sku in brief.get("choose", {}).get("own", [])
        self.by_length = cells.get("sold_by") == "length"
        self.single = self.category == "thread" and ";" not in cells["colours"]
        # The price of a roll is for 10 cm, its unit a step.
        share = number(self.cell("step_cm")) / 10 if self.by_length else 1
        self.price = 0 if self.owned else int(minor(cells["price"] or 0, currency) * share)
        self.quality = number(cells["quality"])
        self.download = cells.get("download") == "yes"
        stock = cells.get("stock")
        self.stock = None if not stock or self.owned or self.download else int(stock)
        self.home, self.metres = 0, None
        if said is not None:
            there = said.get("stock") or 1
            if self.single:
                self.metres = number(
                    said.get("left_m") or int(there) * number(self.cell("skein_m"))
                )
            else:
                self.home = int(there)
        if not in_shop:
            self.stock = 0
        cost = cells.get("trade_cost")
        self.trade = 0 if self.owned else minor(cost or 0, currency) * share
        self.offered = True
        if "sell_at" in brief.get("shop", {}) and not cost and not self.owned:
            # Left out as goods to buy: it may still come from home.
            self.stock, self.offered = 0, said is not None and bool(self.home or self.metres)
        self.tax = number(cells["tax_rate"]) if cells.get("tax_rate") else None

    def cell(self, column):
        """Give a cell, or its column's default where it is blank."""
        said = self.cells.get(column) or DEFAULTS_OF.get(self.category, {}).get(column)
        return said or DEFAULTS.get(column, "")

    def parts(self, column):
        return [part.strip() for part in self.cell(column).split(";") if part.strip()]

    def bought(self, units):
        return max(0, units - self.home)

    def there_are(self, units):
        return self.stock is None or self.bought(units) <= self.stock


def rows_of(text, brief, home_text=""):
    """Read every row that a kit may hold."""
    listed = {
        cells["sku"].strip(): {column: cell.strip() for column, cell in cells.items()}
        for cells in csv.DictReader(io.StringIO(home_text))
    }
    reader = csv.DictReader(io.StringIO(text.lstrip("\ufeff")))
    shop = [{column: cell.strip() for column, cell in cells.items()} for cells in reader]
    skus = {cells["sku"] for cells in shop}
    usual = str(brief.get("home", {}).get("quality", 50))
    mine = [
        {column: said.get(column, "") for column in reader.fieldnames}
        | {"price": "0", "quality": said.get("quality") or usual, "stock": said.get("stock") or "1"}
        for sku, said in listed.items()
        if sku not in skus
    ]
    out = brief.get("choose", {}).get("leave_out", [])
    found = []
    for cells in [*shop, *mine]:
        if cells["category"] == "chart":
            cells |= figures_of_chart(cells["colours"])
        row = Row(cells, brief, listed.get(cells["sku"]), cells["sku"] in skus)
        if row.offered and row.sku not in out:
            found.append(row)
    return found


def figures_of_chart(colours):
    stitches = [number(entry.split(":")[1]) for entry in colours.split(";")]
    return {"stitches": str(float(sum(stitches))), "shades": str(len(stitches))}


def length_of(cells, name):
    """Give a length in cm, None where it is in neither unit."""
    if cells.get(f"{name}_cm"):
        return number(cells[f"{name}_cm"])
    return number(cells[f"{name}_in"]) * INCH if cells.get(f"{name}_in") else None


def numbers_in(cells, column, category, brief):
    """Give the numbers that a cell says; of a length, in the unit of the column."""
    said = cells.get(column) or DEFAULTS_OF.get(category, {}).get(column)
    said = said or DEFAULTS.get(column) or ""
    times = Fraction(1)
    if column[-3:] in ("_cm", "_in") and not cells.get(column):
        other = column[:-3] + ("_in" if column.endswith("_cm") else "_cm")
        if cells.get(other):
            said, times = cells[other], INCH if column.endswith("_cm") else 1 / INCH
    if column == "tax_rate" and not said:
        said = str(brief.get("till", {}).get("tax_rate", 0))
    found = []
    for part in str(said).split(";"):
        try:
            found.append(number(part.strip()) * times)
        except ValueError:  # text
            continue
    return found


def column_of(key, inner):
    """Give the column that a condition is about."""
    return {"max_price": "price", "min_quality": "quality"}.get(key, inner or "tags")


def single_conditions(table):
    """Give each condition of a table alone: (column, kind, value)."""
    for key in ("tags_any", "tags_none", "tags_all"):
        if key in table:
            yield "tags", key, table[key]
    for column, values in table.get("only", {}).items():
        yield column, "only", values if isinstance(values, list) else [values]
    if "max_price" in table:
        yield "price", "range", (None, number(table["max_price"]))
    if "min_quality" in table:
        yield "quality", "range", (number(table["min_quality"]), None)
    low, high = table.get("at_least", {}), table.get("at_most", {})
    for column in {**low, **high}:
        ends = (number(ends[column]) if column in ends else None for ends in (low, high))
        yield column, "range", tuple(ends)


def holds(cells, category, condition, brief):
    """Tell whether cells meet one condition."""
    column, kind, value = condition
    said = cells.get(column) or DEFAULTS_OF.get(category, {}).get(column)
    parts = [part.strip() for part in str(said or DEFAULTS.get(column, "")).split(";")]
    if kind == "tags_any":
        return any(tag in parts for tag in value)
    if kind == "tags_none":
        return not any(tag in parts for tag in value)
    if kind == "tags_all":
        return all(tag in parts for tag in value)
    if kind == "only":
        return any(same(part, one) for part in parts for one in value)
    low, high = value
    found = numbers_in(cells, column, category, brief)
    if column == "stock" and not found:
        return high is None
    return any((low is None or n >= low) and (high is None or n <= high) for n in found)


def same(part, value):
    """Compare text exactly, numbers by value."""
    if isinstance(value, str):
        return part == value
    try:
        return number(part) == number(value)
    except ValueError:
        return False


def meets(row, table, brief):
    """Tell whether a row meets a table of conditions, and those of the whole kit."""
    return all(
        holds(row.cells, row.category, condition, brief)
        for asked in (table, brief.get("all", {}))
        for condition in single_conditions(asked)
    )


def points_of(row, need):
    """Give the points of a row as the choice of a need: its quality, or its score."""
    if "score" not in need:
        return row.quality
    total = Fraction(0)
    for column, weight in need["score"].items():
        low, high = (number(end) for end in need.get("range", {}).get(column, [0, 100]))
        far = (number(row.cells[column]) - low) / (high - low) if row.cells.get(column) else 0
        total += number(weight) * min(max(far, 0), 1) * 100
    mean = total / sum(number(weight) for weight in need["score"].values())
    return Fraction(half_up(mean * 100), 100)
