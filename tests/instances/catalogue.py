"""A shop's rows that clash and tie: near colours, snug fabrics, packs over singles, twins."""

from decimal import Decimal
from fractions import Fraction

from .text import money

QUALITIES = ["100", "90", "81.25", "80", "72.5", "60", "60.01", "55", "40", "0"]
DIAMETERS = [("diameter_cm", "10"), ("diameter_cm", "15.25"), ("diameter_in", "4")]
WEAVES = [("aida", [11, 14, 14, 16, 18]), ("evenweave", [25, 28]), ("linen", [28, 36])]


def catalogue(rng, brief, switches):
    """Draw rows as dicts of cells, shuffled."""
    hues = [[rng.randrange(40, 216) for _ in "rgb"] for _ in range(5)]

    def shade(spread, hue=None):
        levels = [level + rng.randint(-spread, spread) for level in hue or rng.choice(hues)]
        return "#" + "".join(f"{level:02x}" for level in levels)

    charts = [chart_row(rng, shade) for _ in range(rng.randint(2, 4))]
    fabrics = [fabric_row(rng, charts[0], brief, snug=True)]
    fabrics += [fabric_row(rng, rng.choice(charts), brief) for _ in range(rng.randint(1, 3))]
    rows = [*charts, *fabrics]
    rows += thread_rows(rng, shade, hues, charts)
    rows.append({"category": "needle", "needle_sizes": rng.choice(["22;24;26", "24;26;28"])})
    for _ in range(rng.randint(1, 2)):
        sizes = ";".join(map(str, sorted(rng.sample([22, 24, 26, 28], rng.randint(1, 2)))))
        rows.append({"category": "needle", "needle_sizes": sizes})
    rows += [hoop_row(rng, rng.choice([{}, *fabrics])) for _ in range(rng.randint(1, 2))]
    for category, most in (("scissors", 3), ("case", 2), ("charm", 2)):
        rows += [{"category": category} for _ in range(rng.randint(1, most))]
    for row in rows:
        finish_row(rng, row, brief["currency"], switches)
    # Twins under another sku: every figure ties, and only the written tie-break decides.
    rows += [dict(row) for row in rng.sample(rows, rng.randint(0, 2))]
    rng.shuffle(rows)
    for row, number in zip(rows, rng.sample(range(10, 100), len(rows)), strict=True):
        row["sku"] = f"{rng.choice('ABab')}{number}"
        row["name"] = f"{row['category'].title()}, no. {number}"
    return rows


def finish_row(rng, row, currency, switches):
    """Fill in the columns that every category has."""
    units = 25 * rng.randint(1, 40) if rng.random() < 0.95 else 0
    if row["category"] == "thread":
        units = units // 5 + rng.randint(0, 3)
    row["price"] = money(units, currency)
    row["quality"] = rng.choice(QUALITIES)
    row["tags"] = ";".join(rng.sample(["soft", "stiff", "bright"], rng.randint(0, 2)))
    row["finish"] = rng.choice(["plain", "glossy", "2.50", ""])
    if "stock" in switches and rng.random() < 0.2:
        row["stock"] = str(rng.choice([0, 1, 2, 3, 4, 5, 8]))
    if row["category"] not in ("fabric", "thread") and rng.random() < 0.3:
        row["serves"] = str(rng.randint(1, 3))


def chart_row(rng, shade):
    wide, high = (rng.choice([49, 56, 70, 77]) for _ in "wh")
    shades = {shade(3) for _ in range(rng.randint(1, 4))}
    share = wide * high // len(shades)
    colours = {colour: rng.choice([60, 250, 480, share]) for colour in sorted(shades)}
    return {
        "category": "chart",
        "stitches_wide": str(wide),
        "stitches_high": str(high),
        "colours": ";".join(f"{colour}:{number}" for colour, number in colours.items()),
    }


def fabric_row(rng, chart, brief, snug=False):
    """Draw a fabric on which a chart touches exactly, just fails, or fits several times."""
    weave, counts = rng.choice(WEAVES)
    count, fit = rng.choice(counts), brief["fit"]
    effective = Fraction(count, 1 if weave == "aida" else fit["over"])
    margin = Fraction(fit["margin_cm"]) / Fraction("2.54") if "margin_cm" in fit else Fraction(1)
    cut = [int(chart[f"stitches_{side}"]) / effective + 2 * margin for side in ("wide", "high")]
    sides = [side * rng.choice([1, 1, 1, 2]) for side in cut]
    if rng.random() < 0.25:
        # A strip of upright pieces and one of turned pieces: no plain grid does as well.
        sides = [rng.choice([2, 3]) * min(cut), sum(cut)]
    unit, inch = rng.choice([("cm", Fraction("2.54")), ("in", Fraction(1))])
    # Rounded up it fits (touching where two decimals suffice), a hundredth less it does not.
    less = [0] if snug else [0, 0, 0, 1]
    width, height = (-(-side * inch * 100 // 1) - rng.choice(less) for side in sides)
    if rng.random() < 0.5:
        width, height = height, width
    return {
        "category": "fabric",
        "weave": weave,
        "count": str(count),
        f"width_{unit}": str(Decimal(width) / 100),
        f"height_{unit}": str(Decimal(height) / 100),
    }


def hoop_row(rng, like):
    """Draw a hoop of a usual size, or one that touches (or overlaps) a fabric's edge."""
    if "width_cm" not in like:
        return dict([("category", "hoop"), rng.choice(DIAMETERS)])
    side = min(Decimal(like["width_cm"]), Decimal(like["height_cm"]))
    return {"category": "hoop", "diameter_cm": str(side - 5 + rng.choice([0, Decimal("0.01")]))}


def thread_rows(rng, shade, hues, charts):
    """Draw a single near most hues, and packs that overlap the singles and the charts."""
    singles = [shade(6, hue) for hue in hues if rng.random() < 0.8]
    singles += [shade(5) for _ in range(rng.randint(1, 2))]
    packs = [[shade(6) for _ in range(rng.randint(1, 3))] for _ in range(rng.randint(1, 2))]
    packs[0].append(rng.choice(singles))
    if rng.random() < 0.5:
        packs.append([entry.split(":")[0] for entry in charts[0]["colours"].split(";")])
    rows = [{"category": "thread", "colours": ";".join(pack)} for pack in packs]
    rows += [{"category": "thread", "colours": single} for single in singles]
    for row in rows:
        row["skein_m"] = rng.choice(["", "8", "5", "2.5", "1"])
        row["strands"] = rng.choice(["", "", "6", "4"])
    return rows
