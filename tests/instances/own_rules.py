"""Ranges, sizes, hours and rules of one's own, drawn onto an instance so that they often bind."""

import random
from decimal import Decimal
from fractions import Fraction

from naive import best
from naive.goods import read
from naive.own_rules import Thing, meets

from .text import to_csv

SERIES = ["Tidepool", "Dune", "Tidepool;Dune", "Dune; Reef", "Reef", ""]
WEIGHTS = ["120", "12.5", "80", "0.25", "250.000001", "40", "0"]
RANGES = {
    "chart": ["stitches", "shades", "stitches_wide", "weight_g"],
    "fabric": ["count", "width_cm", "height_in", "weight_g", "price"],
    "thread": ["skein_m", "strands", "quality", "weight_g"],
    "needle": ["needle_sizes", "serves", "stock"],
    "hoop": ["diameter_cm", "diameter_in"],
}
OTHERS = ["quality", "price", "stock", "tax_rate", "weight_g", "serves"]


def own_rules(seed, rows, brief):
    """Change an instance in place, of which the cap is not yet laid."""
    rng = random.Random(f"own rules {seed}")
    for row in rows:
        row["weight_g"] = rng.choice(WEIGHTS) if rng.random() < 0.93 else ""
        row["series"] = rng.choice(SERIES) if rng.random() < 0.8 else ""
    kit = best(to_csv(rows), brief)
    lines = [(sku, units) for sku, units, _ in kit["lines"]] if kit else []
    for feature in rng.sample(FEATURES, rng.choice([1, 1, 2, 3])):
        feature(rng, rows, brief, lines)


def ranges(rng, rows, brief, _):
    for category in rng.sample(brief["holds"], min(2, len(brief["holds"]))):
        table = brief["needs"][category]
        column = rng.choice(RANGES.get(category, []) + OTHERS)
        table[rng.choice(["at_least", "at_most"])] = {column: value(rng, rows, category, column)}
        if rng.random() < 0.2:
            table["at_least"] = {"quality": 40}
            table["at_most"] = {"needle_sizes" if category == "needle" else "weight_g": 250}


def value(rng, rows, category, column):
    """Give a number that a row of the category says in a column, or one beside it."""
    row = rng.choice([row for row in rows if row["category"] == category])
    said = str(row.get(column) or rng.choice([1, 8, 14, 20])).split(";")[0]
    if column == "stitches":
        said = rng.choice([400, 900, 2500, "3000.5"])
    if column == "shades":
        said = rng.choice([2, 3])
    return rng.choice([str, Decimal])(Decimal(said) + rng.choice([0, 0, 1, Decimal("0.5")]))


def size(rng, rows, brief, lines):
    """Draw rectangles that the design of the best kit just fills, or just does not."""
    likely = of_kit("chart", rows, lines) or [row for row in rows if row["category"] == "chart"]
    cloth = of_kit("fabric", rows, lines) or [row for row in rows if row["category"] == "fabric"]
    chart, sheet, table = rng.choice(likely), rng.choice(cloth), {}
    count = Fraction(sheet["count"]) / (1 if sheet["weave"] == "aida" else brief["fit"]["over"])
    for key in rng.sample(["at_most_cm", "at_most_in", "at_least_cm", "at_least_in"], 2):
        unit = Fraction(1) if key.endswith("in") else Fraction("2.54")
        sides = [int(chart[f"stitches_{side}"]) / count for side in ("wide", "high")]
        if rng.random() < 0.5:
            sides.reverse()
        # Rounded up, the design is within it and does not fill it.
        more = rng.choice([0, 0, -1, 100])
        table[key] = [Decimal(-(-side * unit * 100 // 1) + more) / 100 for side in sides]
    brief["size"] = table


def of_kit(category, rows, lines):
    skus = {sku for sku, _ in lines}
    return [row for row in rows if row["sku"] in skus and row["category"] == category]


def hours(rng, _, brief, __):
    brief["lesson"] = {"hours_at_most": rng.choice([10, 20, "40.5", 60])}
    if rng.random() < 0.5:
        brief["lesson"]["stitches_an_hour"] = rng.choice([50, 75, "62.5"])


def limits(rng, rows, brief, lines):
    brief["limits"] = [limit(rng, rows, brief, lines, number) for number in range(2)]
    if rng.random() < 0.5:
        del brief["limits"][0]


def limit(rng, rows, brief, lines, number):
    """Draw a limit that the best kit without it just keeps, or just breaks."""
    table = {"name": f"limit {number}", "where": where(rng, rows)}
    if rng.random() < 0.3:
        del table["where"]
    counted = [(row, units) for row, units in held(lines, rows, brief, table.get("where", {}))]
    if rng.random() < 0.7:
        table["column"] = rng.choice(["weight_g", "weight_g", "serves", "price", "skein_m"])
        table["blank"] = rng.choice([0, 0, "leave out"])
        total = sum(units * first(row, table["column"]) for row, units in counted)
    else:
        total = Fraction(len(counted))
    if "column" in table and brief["heads"] > 1 and rng.random() < 0.4:
        table["a_head"] = True
        total /= brief["heads"] + brief.get("spare", 0)
    exact = Decimal(int(total * 10**6)) / 10**6
    step = 1 if "column" not in table else max(Decimal("0.000001"), exact / 4)
    step = step.quantize(Decimal("0.000001")) if isinstance(step, Decimal) else step
    if rng.random() < 0.65:
        table["most"] = max(Decimal(0), exact - rng.choice([0, step, step, 2 * step]))
    if "most" not in table or rng.random() < 0.2:
        table["least"] = exact + rng.choice([0, step]) if "most" not in table else table["most"] / 2
        table["least"] = table["least"].quantize(Decimal("0.000001"))
    return table


def held(lines, rows, brief, asked):
    by_sku = {row.sku: row for row in read(to_csv(rows), brief)}
    for sku, units in lines:
        thing = Thing(by_sku[sku].category, by_sku[sku].cells, brief)
        if meets(thing, asked) is True:
            yield thing, units


def first(thing, column):
    said = thing.numbers(column)
    return said[0] if said else Fraction(0)


def where(rng, rows):
    """Draw which rows are meant."""
    categories = sorted({row["category"] for row in rows})
    table = {"category": rng.sample(categories, rng.choice([1, 2, 3]))}
    if rng.random() < 0.2:
        del table["category"]
    conditions = [
        {"tags_any": ["soft"]},
        {"tags_none": ["bright", "stiff"]},
        {"min_quality": 60},
        {"max_price": rng.choice(rows)["price"]},
        {"only": {"finish": ["plain", "glossy"]}},
        {"at_least": {"weight_g": rng.choice(["12.5", 80])}},
        {"at_most": {"count": 16}},
        {"at_least": {"count": 14}, "at_most": {"count": 16}},
        {"only": {"series": ["Dune"]}},
    ]
    return table | (rng.choice(conditions) if rng.random() < 0.7 else {})


def pairs(rng, rows, brief, lines):
    """Draw pairs that rows of the best kit without them as a rule make ask, and often break."""
    skus = [sku for sku, _ in lines]
    taken = [row for row in rows if row["sku"] in skus] or rows
    brief["pairs"] = []
    for number in range(rng.choice([1, 1, 2])):
        table = {"name": f"pair {number}"} if rng.random() < 0.5 else {}
        if rng.random() < 0.8:
            table["if"] = like(rng.choice(taken), rng) if rng.random() < 0.7 else where(rng, rows)
        side = rng.choice(["then", "with", "never", "with"])
        table[side] = where(rng, rows)
        if rng.random() < 0.7:
            # A row of the kit that must not be there, or another one that must.
            row = rng.choice(taken if side == "never" else rows)
            table[side] = like(row, rng)
        brief["pairs"].append(table)


def like(row, rng):
    """Choose rows that have something in common with a row, itself among them."""
    common = [{"sku": [row["sku"]]}, {"finish": [row["finish"]]}, {"quality": [row["quality"]]}]
    only = rng.choice([one for one in common if "" not in one.get("finish", [])])
    return {"category": row["category"], "only": only}


def alike(rng, rows, brief, _):
    table = {"column": rng.choice(["series", "series", "finish", "serves", "quality", "tags"])}
    if rng.random() < 0.7:
        table["of"] = rng.sample(sorted({row["category"] for row in rows}), 3)
    if rng.random() < 0.3:
        table["blank"] = "refuse"
    brief["alike"] = [table]


FEATURES = [ranges, size, hours, limits, limits, pairs, pairs, alike]
