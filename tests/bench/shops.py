"""Seeded catalogues drawn as shops are, small and large; everything in them is invented.

The real shop: charts of many colours, each of them close to a shade that is sold as a single
thread, and packs of eight of these shades. The hard families: chart colours and threads crowd
around a few colours, so that many colours of a chart want the same places.
"""

from __future__ import annotations

import csv
import io
import random

from kitsolver.craft.colour import differences

HEADER = (
    "sku", "name", "category", "price", "quality", "stock", "stitches_wide", "stitches_high",
    "colours", "weave", "count", "width_cm", "height_cm", "needle_sizes",
)  # fmt: skip
WEAVES = [("aida", 11), ("aida", 14), ("aida", 16), ("linen", 28)]
NEEDLES = ["22;24", "24;26", "26", "28", "24"]
EXTRAS = ["case", "lamp", "frame", "bag", "card", "marker"]

Colour = tuple[int, ...]


class _Rows:
    """Rows drawn one after the other from one seed."""

    def __init__(self, seed: int, dear: float = 1.0) -> None:
        self.draw, self.dear = random.Random(seed), dear
        self.rows: list[dict[str, object]] = []

    def add(self, category: str, low: float, high: float, **cells: object) -> None:
        """Add a row whose price lies between two, as many of them cheap as dear by factors."""
        draw, number = self.draw, len(self.rows)
        self.rows.append(
            {
                "sku": f"{category[:2].upper()}{number:06d}",
                "name": f"Goods number {number}",
                "category": category,
                "price": f"{self.dear * low * (high / low) ** draw.random():.2f}",
                "quality": f"{draw.uniform(20, 100):.2f}",
                "stock": draw.choice(["", "", draw.randrange(0, 61)]),
                **cells,
            }
        )

    def colour(self) -> Colour:
        return tuple(self.draw.randrange(256) for _ in range(3))

    def moved(self, colour: Colour, most: int) -> Colour:
        """Return a colour that differs by no more than `most` in each channel."""
        draw = self.draw
        return tuple(min(255, max(0, part + draw.randint(-most, most))) for part in colour)

    def chart(self, colours: list[Colour], least: int, most: int) -> None:
        """Add a chart; its size is what its stitches fill, or a little more."""
        draw = self.draw
        stitches = {text(colour): draw.randint(least, most) for colour in colours}
        area = sum(stitches.values()) * draw.uniform(1, 1.5)
        wide = round((area * draw.uniform(0.6, 1.6)) ** 0.5)
        cell = ";".join(f"{colour}:{number}" for colour, number in stitches.items())
        high = -(-round(area) // wide)
        self.add("chart", 3, 20, stitches_wide=wide, stitches_high=high, colours=cell)

    def fabrics(self, number: int) -> None:
        for _ in range(number):
            weave, count = self.draw.choice(WEAVES)
            sides = {side: self.draw.randrange(25, 90) for side in ("width_cm", "height_cm")}
            self.add("fabric", 3, 20, weave=weave, count=count, **sides)

    def tools(self, needles: int, scissors: int, extras: int) -> None:
        for _ in range(needles):
            self.add("needle", 1, 6, needle_sizes=self.draw.choice(NEEDLES))
        for _ in range(scissors):
            self.add("scissors", 3, 25)
        for number in range(extras):
            self.add(EXTRAS[number % len(EXTRAS)], 0.5, 20)

    def csv(self) -> str:
        written = io.StringIO(newline="")
        writer = csv.DictWriter(written, HEADER, restval="", lineterminator="\r\n")
        writer.writeheader()
        writer.writerows(self.rows)
        return written.getvalue()


def text(colour: Colour) -> str:
    """Return a colour as ``#rrggbb``."""
    return "#" + "".join(f"{part:02x}" for part in colour)


def real_shop(
    seed: int,
    charts: int = 300,
    singles: int = 454,
    packs: int = 60,
    *,
    colours: tuple[int, int] = (10, 40),
    pack: int = 8,
    goods: tuple[int, int, int, int] = (200, 30, 30, 72),
    dear: float = 2.0,
) -> str:
    """Return a catalogue drawn as a real shop is.

    Parameters
    ----------
    colours : tuple of int
        The fewest and the most colours of a chart.
    pack : int
        The colours of a pack.
    goods : tuple of int
        How many fabrics, needles, scissors and extras there are.
    dear : float
        What every price is multiplied by.
    """
    rows = _Rows(seed, dear)
    draw = rows.draw
    shades = list(dict.fromkeys(rows.colour() for _ in range(singles)))
    for _ in range(charts):
        used = draw.sample(shades, min(len(shades), draw.randint(*colours)))
        rows.chart(list(dict.fromkeys(rows.moved(shade, 3) for shade in used)), 30, 2000)
    for shade in shades:
        rows.add("thread", 0.6, 2, colours=text(shade))
    for _ in range(packs):
        rows.add("thread", 0.4 * pack, 1.5 * pack, colours=_several(draw.sample(shades, pack)))
    fabrics, *tools = goods
    rows.fabrics(fabrics)
    rows.tools(*tools)
    return rows.csv()


def small_real_shop(seed: int) -> str:
    """Return a small shop drawn as a real one is."""
    return real_shop(seed, charts=46, singles=120, packs=12, dear=1.0)


def hard_families(
    seed: int,
    families: int = 14,
    packs: float = 0.2,
    *,
    charts: int = 1000,
    threads: int = 900,
    colours: tuple[int, int] = (2, 5),
    goods: tuple[int, int, int, int] = (600, 30, 30, 72),
) -> str:
    """Return a catalogue in which many chart colours want the same threads.

    Parameters
    ----------
    families : int
        Colours around which charts and threads crowd.
    packs : float
        The share of thread rows that are packs of three to six colours.
    """
    rows = _Rows(seed)
    draw = rows.draw
    centres = [rows.colour() for _ in range(families)]

    def near(centre: Colour) -> str:
        while True:
            other = text(rows.moved(centre, 12))
            if differences([text(centre)], [other])[0, 0] <= 60_000:
                return other

    for _ in range(charts):
        number = draw.randint(*colours)
        rows.chart([rows.moved(draw.choice(centres), 3) for _ in range(number)], 30, 2000)
    for _ in range(threads):
        many = draw.randint(3, 6) if draw.random() < packs else 1
        cell = _several_text([near(draw.choice(centres)) for _ in range(many)])
        number = cell.count(";") + 1
        rows.add("thread", 0.5 * number, 2 * number, colours=cell)
    fabrics, *tools = goods
    rows.fabrics(fabrics)
    rows.tools(*tools)
    return rows.csv()


def _several(colours: list[Colour]) -> str:
    return _several_text([text(colour) for colour in colours])


def _several_text(colours: list[str]) -> str:
    return ";".join(dict.fromkeys(colours))
