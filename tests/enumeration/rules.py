"""Limits, pairs and what is to be alike, held against a whole kit."""

from fractions import Fraction

from .goods import figures_of_chart, holds, number, numbers_in, single_conditions

# The columns of the format that hold numbers.
NUMERIC = {
    *("price", "quality", "stock", "serves", "trade_cost", "tax_rate", "stitches_wide"),
    *("stitches_high", "count", "width_cm", "height_cm", "width_in", "height_in", "smallest_cm"),
    *("step_cm", "skein_m", "strands", "diameter_cm", "diameter_in", "needle_sizes"),
    "colour_strands",
}
BLANK_IS = {"serves": "1", "download": "no", "sold_by": "unit"}
BLANK_IS_OF = {
    "thread": {"skein_m": "8", "strands": "6", "kind": "cotton"},
    "fabric": {"smallest_cm": "10", "step_cm": "10"},
}


class Item:
    """Something in the kit: a row, or a thing at home as far as it is described."""

    def __init__(self, category, cells, known=None):
        """Hold cells; `known` are the columns that are described, None for all."""
        self.category, self.cells, self.columns = category, cells, known

    def knows(self, column):
        if self.columns is None or column in self.columns:
            return True
        other = {"_cm": "_in", "_in": "_cm"}.get(column[-3:])
        return other is not None and column[:-3] + other in self.columns

    def answers(self, where, brief):
        """Tell whether it meets `where`: True, False, or None where that is not known."""
        named = where.get("category", self.category)
        if self.category not in ([named] if isinstance(named, str) else named):
            return False
        known = True
        for condition in single_conditions(where):
            if not self.knows(condition[0]):
                known = False
            elif not holds(self.cells, self.category, condition, brief):
                return False
        return True if known else None

    def values(self, column, brief):
        """Give the values of a cell, numbers of our own columns by value."""
        if column in NUMERIC:
            return set(numbers_in(self.cells, column, self.category, brief))
        said = self.cells.get(column) or BLANK_IS_OF.get(self.category, {}).get(column)
        parts = [part.strip() for part in (said or BLANK_IS.get(column, "")).split(";")]
        if column == "colours":
            parts = [part.split(":")[0].strip().lower() for part in parts]
        return {part for part in parts if part}


def described(category, have):
    """Give the item that a brief describes at home."""
    if have is True:
        return Item(category, {}, set())
    cells = {
        column: ";".join(str(part) for part in said) if isinstance(said, list) else str(said)
        for column, said in have.items()
    }
    if category == "chart" and "colours" in cells:
        cells |= figures_of_chart(cells["colours"])
    return Item(category, cells, set(cells))


class OwnRules:
    """The rules of a brief, ready to be held against kits."""

    def __init__(self, brief, kits):
        """Read the rules of a brief under which a number of kits is made."""
        self.brief, self.kits = brief, kits
        self.limits = brief.get("limits", [])
        self.pairs = brief.get("pairs", [])
        self.alike = brief.get("alike", [])
        self.any = bool(self.limits or self.pairs or self.alike)
        self.at_home = [
            described(category, need["have"])
            for category, need in brief.get("needs", {}).items()
            if need.get("have") and not isinstance(need["have"], list)
        ]
        self.items = {}

    def item(self, row):
        return self.items.setdefault(row.sku, Item(row.category, row.cells))

    def bars(self, row):
        """Tell whether a limit leaves a row out, because its cell is blank."""
        item = self.item(row)
        return any(
            limit.get("blank") == "leave out"
            and item.answers(limit.get("where", {}), self.brief)
            and not numbers_in(row.cells, limit["column"], row.category, self.brief)
            for limit in self.limits
            if "column" in limit
        )

    def allow(self, lines):
        """Tell whether lines, as (row, units), keep every rule."""
        if not self.any:
            return True
        held = [(self.item(row), units) for row, units in lines]
        items = [item for item, _ in held] + self.at_home
        return (
            all(self.within(limit, held) for limit in self.limits)
            and all(self.paired(pair, items) for pair in self.pairs)
            and all(self.agree(rule, items) for rule in self.alike)
        )

    def within(self, limit, held):
        total = Fraction(0)
        for item, units in held:
            if item.answers(limit.get("where", {}), self.brief):
                if "column" not in limit:
                    total += 1
                    continue
                found = numbers_in(item.cells, limit["column"], item.category, self.brief)
                total += units * found[0] if found else 0
        times = self.kits if limit.get("a_head") else 1
        if "least" in limit and total < number(limit["least"]) * times:
            return False
        return "most" not in limit or total <= number(limit["most"]) * times

    def paired(self, pair, items):
        if "if" in pair and not any(item.answers(pair["if"], self.brief) for item in items):
            return True
        if "never" in pair:
            return not any(item.answers(pair["never"], self.brief) for item in items)
        if "with" in pair:
            return any(item.answers(pair["with"], self.brief) is not False for item in items)
        meant = {key: pair["then"][key] for key in pair["then"] if key == "category"}
        return not any(
            item.answers(meant, self.brief) and item.answers(pair["then"], self.brief) is False
            for item in items
        )

    def agree(self, rule, items):
        shared = None
        for item in items:
            if item.category not in rule.get("of", [item.category]):
                continue
            if not item.knows(rule["column"]):
                continue
            values = item.values(rule["column"], self.brief)
            if not values:
                if rule.get("blank") == "refuse":
                    return False
                continue
            shared = values if shared is None else shared & values
            if not shared:
                return False
        return True
