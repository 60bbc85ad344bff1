"""A seeded catalogue of any size for the benchmarks; everything in it is invented."""

from __future__ import annotations

import csv
import io
import random

HEADER = (
    "sku", "name", "category", "price", "quality", "stock", "serves", "tags",
    "stitches_wide", "stitches_high", "colours", "weave", "count", "width_cm", "height_cm",
    "needle_sizes", "diameter_cm",
)  # fmt: skip


def shop_text(charts: int, others: int, seed: int = 1) -> str:
    """Return a catalogue with `charts` charts and `others` rows of everything else.

    Charts take their colours from a range of 500, near which there are threads.
    """
    draw = random.Random(seed)
    shades = [tuple(draw.randrange(256) for _ in range(3)) for _ in range(500)]
    rows: list[dict[str, object]] = []

    def price(low: float, high: float) -> str:
        return f"{low * (high / low) ** draw.random():.2f}"

    def add(category: str, low: float, high: float, **cells: object) -> None:
        number = len(rows)
        quality = f"{draw.uniform(20, 100):.2f}"
        stock = draw.choice(["", "", draw.randrange(1, 60)])
        rows.append(
            {
                "sku": f"{category[:2].upper()}{number:07d}",
                "name": f"Goods number {number}",
                "category": category,
                "price": price(low, high),
                "quality": quality,
                "stock": stock,
                **cells,
            }
        )

    def near(shade: tuple[int, ...]) -> str:
        moved = (min(255, max(0, part + draw.randrange(-6, 7))) for part in shade)
        return "#" + "".join(f"{part:02x}" for part in moved)

    for _ in range(charts):
        wide, high = draw.randrange(30, 140), draw.randrange(30, 140)
        used = draw.sample(shades, draw.randrange(3, 21))
        entries = [f"#{r:02x}{g:02x}{b:02x}:{draw.randrange(40, 900)}" for r, g, b in used]
        colours = ";".join(dict.fromkeys(entries))
        add("chart", 1, 20, stitches_wide=wide, stitches_high=high, colours=colours)
    share = {"fabric": 0.20, "needle": 0.02, "scissors": 0.05, "thread": 0.30}
    for _ in range(int(others * share["fabric"])):
        weave, count = draw.choice([("aida", 11), ("aida", 14), ("aida", 16), ("linen", 28)])
        sides = {"width_cm": draw.randrange(25, 70), "height_cm": draw.randrange(25, 70)}
        add("fabric", 3, 20, weave=weave, count=count, **sides)
    for _ in range(int(others * share["needle"])):
        sizes = draw.choice(["22;24", "24;26", "26", "28", "24"])
        add("needle", 1, 6, needle_sizes=sizes)
    for _ in range(int(others * share["scissors"])):
        add("scissors", 3, 25)
    for _ in range(int(others * share["thread"])):
        add("thread", 0.6, 2, colours=near(draw.choice(shades)))
    while len(rows) < charts + others:
        category = draw.choice(["case", "lamp", "frame", "bag", "card", "marker"])
        add(category, 0.5, 20)
    text = io.StringIO(newline="")
    writer = csv.DictWriter(text, HEADER, restval="", lineterminator="\r\n")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue()
