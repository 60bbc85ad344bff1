"""What a brief and a catalogue may have beyond the ordinary, drawn onto an instance."""

import random
from decimal import Decimal
from fractions import Fraction

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


def taxed_apart(rng, rows, brief):
    rates = rng.sample(["0", "0.07", "0.2", "0.055"], rng.choice([1, 2]))
    if rng.random() < 0.5:
        # A row may state the till's own rate, in other words perhaps.
        rates.append(f"{Decimal(str(brief.get('till', {}).get('tax_rate', 0))):.4f}")
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


def kinds(rng, rows, brief):
    words = ["cotton", "metallic", "variegated"]
    for row in rows:
        if row["category"] == "thread" and rng.random() < 0.4:
            row["kind"] = rng.choice(words)
        if row["category"] == "chart" and rng.random() < 0.6:
            number = row["colours"].count(";") + 1
            drawn = [rng.choice([*words, "cotton", "cotton"]) for _ in range(number)]
            row["colour_kinds"] = ";".join(drawn)
    if rng.random() < 0.5:
        brief["shades"]["kinds"] = {"metallic": ["cotton"], "variegated": ["metallic", "cotton"]}


def outlines(rng, rows, _):
    for row in rows:
        if row["category"] != "chart":
            continue
        entries = row["colours"].split(";")
        for number, entry in enumerate(entries):
            if rng.random() < 0.3:
                entry += rng.choice([".5", ".0"])
            if rng.random() < 0.4:
                entry += f":{rng.choice(['12', '80.5', '300', '0'])}"
            if rng.random() < 0.15:
                entry = entry.split(":")[0] + ":0:240"
            entries[number] = entry
        row["colours"] = ";".join(entries)
        if rng.random() < 0.4:
            row["colour_strands"] = ";".join(str(rng.randint(1, 4)) for _ in entries)


def openings(rng, rows, _):
    """Draw apertures that a design touches, just fails, or is well within."""
    charts = [row for row in rows if row["category"] == "chart"]
    for row in rows:
        if row["category"] not in ("case", "charm", "scissors", "hoop") or rng.random() < 0.2:
            continue
        chart, count = rng.choice(charts), rng.choice([11, 14, 16, 18])
        sides = [Fraction(int(chart[f"stitches_{side}"]), count) for side in ("wide", "high")]
        if rng.random() < 0.5:
            sides.reverse()
        unit, inch = rng.choice([("cm", Fraction("2.54")), ("in", Fraction(1))])
        less = rng.choice([0, 0, 1])
        told = [Decimal(-(-side * inch * 1000 // 1) - less) / 1000 for side in sides]
        if rng.random() < 0.2:
            told = [max(told)]
        row[f"opening_{unit}"] = "x".join(format(side, "f") for side in told)


def spare(rng, _, brief):
    brief["spare"] = rng.choice([1, 1, 2])


def scores(rng, rows, brief):
    for row in rows:
        row["softness"] = rng.choice(["", "0", "2", "3.5", "7", "12"])
        row["sold"] = str(rng.randint(0, 400))
    brief["scores"] = {}
    for need in rng.sample(brief["holds"], min(2, len(brief["holds"]))):
        table = {"score": {"softness": rng.choice([1, "0.5"])}, "range": {"softness": [0, 10]}}
        if rng.random() < 0.6:
            table["score"]["quality"] = 1
        if rng.random() < 0.4:
            table["score"]["sold"] = Decimal("0.25")
            table["range"]["sold"] = rng.choice([[0, 300], [400, 0], ["20.5", 100]])
        brief["scores"][need] = table


def rolls(rng, rows, brief):
    exponent = {"JPY": 0, "EUR": 2, "KWD": 3}[brief["currency"]]
    for row in rows:
        if row["category"] != "fabric" or rng.random() < 0.4:
            continue
        row["sold_by"] = "length"
        unit = "cm" if "width_cm" in row else "in"
        sides = [row.pop(f"{side}_{unit}") for side in ("width", "height")]
        row[f"width_{unit}"] = rng.choice(sides)
        row["step_cm"] = rng.choice(["", "10", "25", "5"])
        row["smallest_cm"] = rng.choice(["", "20", "35"])
        # A multiple of twenty, so that every step comes to whole minor units.
        price = 20 * rng.randint(1, 12)
        row["price"] = format(Decimal(price).scaleb(-exponent), "f")
        if row.get("trade_cost"):
            row["trade_cost"] = format(Decimal(price // 2).scaleb(-exponent), "f")
        if row.get("stock"):
            row["stock"] = str(4 * int(row["stock"]))


FEATURES = [
    free_colours,
    seen_on_cloth,
    whole_kit,
    extras_conditions,
    taxed_apart,
    downloaded,
    margin,
    kinds,
    outlines,
    openings,
    spare,
    scores,
    rolls,
]
