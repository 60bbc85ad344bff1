"""What a brief and a catalogue may have beyond the ordinary, drawn onto an instance."""

import random
from decimal import Decimal

CLOTHS = ["#f4efe2", "#20242c", "", "#7d8f74"]


def enrich(seed, rows, brief):
    """Change an instance in place, of which the cap is not yet laid."""
    rng = random.Random(f"further {seed}")
    for feature in rng.sample(FEATURES, rng.choice([1, 1, 2, 3])):
        feature(rng, rows, brief)


def free_colours(rng, rows, brief):
    shades = brief["shades"]
    shades["mode"] = "free"
    if rng.random() < 0.7:
        shades["contrast"] = rng.choice([2, 5, "10.0", 20, 0])
    if rng.random() < 0.5:
        shades["keep_values"] = rng.random() < 0.5
    if rng.random() < 0.5:
        coloured = [row["colours"] for row in rows if row.get("colours")]
        shades["wish"] = [cell.split(";")[0].split(":")[0] for cell in rng.sample(coloured, 2)]
    own_colours(rng, rows)


def seen_on_cloth(rng, rows, brief):
    brief["shades"]["on_cloth"] = rng.choice([5, 12, "20.5", 40])
    own_colours(rng, rows)
    near = rng.choice([row for row in rows if row["category"] == "thread"])
    for row in rows:
        if row["category"] == "fabric" and rng.random() < 0.4:
            row["colours"] = near["colours"].split(";")[0]


def own_colours(rng, rows):
    for row in rows:
        if row["category"] == "fabric":
            row["colours"] = rng.choice(CLOTHS)


def whole_kit(rng, rows, brief):
    brief["all"] = rng.choice(
        [{"tags_none": ["bright"]}, {"tags_none": ["stiff"]}, {"tags_all": ["soft"]}]
    )
    for row in rows:
        # Or nothing would be left.
        if rng.random() < 0.7:
            row["tags"] = rng.choice(["soft", "soft;stiff"]) if rng.random() < 0.6 else "soft"


def extras_conditions(rng, rows, brief):
    others = sorted({row["category"] for row in rows} - set(brief["holds"]))
    brief["extras_conditions"] = {
        category: rng.choice(
            [
                {"tags_any": ["soft", "bright"]},
                {"tags_none": ["stiff"]},
                {"min_quality": 60},
                {"max_price": rng.choice(rows)["price"]},
                {"only": {"finish": ["plain", "glossy"]}},
            ]
        )
        for category in rng.sample(others, min(2, len(others)))
    }


def taxed_apart(rng, rows, _):
    rates = rng.sample(["0", "0.07", "0.2", "0.055"], rng.choice([1, 2]))
    for row in rows:
        if rng.random() < (0.8 if row["category"] == "chart" else 0.2):
            row["tax_rate"] = rng.choice(rates)


def downloaded(rng, rows, _):
    for row in rows:
        if row["category"] == "chart" or rng.random() < 0.1:
            row["download"] = rng.choice(["yes", "yes", "no", ""])


def margin(rng, rows, brief):
    exponent = {"JPY": 0, "EUR": 2, "KWD": 3}[brief["currency"]]
    for row in rows:
        if rng.random() < 0.97:
            share = Decimal(rng.randint(30, 90)) / 100
            cost = (Decimal(row["price"]) * share).quantize(Decimal(1).scaleb(-exponent))
            row["trade_cost"] = format(cost, "f")
    needs = sum(
        min((Decimal(row["price"]) for row in rows if row["category"] == need), default=Decimal(0))
        for need in brief["holds"]
    )
    sold = (needs * brief["heads"] * rng.randint(8, 20) / 10).quantize(Decimal(1).scaleb(-exponent))
    brief["shop"] = {
        "sell_at": format(sold, "f"),
        "margin_rate": rng.choice(["0.35", "0.2", 0, "0.125"]),
        "uncosted": "leave out",
    }


FEATURES = [
    free_colours,
    seen_on_cloth,
    whole_kit,
    extras_conditions,
    taxed_apart,
    downloaded,
    margin,
]
