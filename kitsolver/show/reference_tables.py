"""The parts of the reference page beside columns and keys of a brief: maps, craft, quality."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise
from math import sqrt

from pydantic import BaseModel

from kitsolver.craft.needles import BOUNDS, SIZES
from kitsolver.craft.thread import STRANDS, USUAL_SKEIN, Charted, strand_length
from kitsolver.shop.maps.file_options import FileOptions
from kitsolver.shop.maps.mapping import ColumnMap
from kitsolver.show.map_meanings import map_meanings

QUALITY = """\
## Quality, and how a shop may score

Quality is a number from 0 to 100, and it is the shop's own: kitsolver measures nothing. It makes
the weighted mean over the needs as high as the cap allows, so the numbers decide what *best* means.
Of needs the differences count, not the height: every kit holds one of each. Extras are added up, so
an extra of 60 counts as much as two of 30.

Three ways to score, from quick to careful:

1. **No opinion.** Give every row 50 (`[defaults] quality = "50"` in a map). All kits are then
   equally good, and the cheapest wins.
2. **Stars.** Give one to five stars, and say so in the map (`stars = "★"`, `quality_most = 5`).
   Five stars are 100, three are 60. Use the whole range: if everything has four stars, the cap
   alone decides.
3. **A scale with anchors.** Write down one row of each category for 20 (you would warn against it),
   50 (it does its job) and 80 (you would buy it yourself), and place the others between them. Leave
   90 and above for goods that made you change the anchors.

Score within a category: a needle of 80 and a chart of 80 need not be alike. How much a category
counts against another is said by `weight` in the brief. Do not let the price into the score: the
cap already weighs it. A brief can also compute a score of the shop's own columns
([Scores](format.md#scores)).
"""


_MAP = """\
## Keys of a map

A map (`--columns MAP.toml`) says how a source's headers and values are to be read. All keys may be
left out. [Formats](format.md#a-shops-own-headers-and-values-columns-maptoml) shows a map with every
table, and says how the keys work together.

"""
# A value of each key, as a map writes it.
_EXAMPLES = {
    "columns": '{ price = "VK-Preis" }',
    "decimal_comma": "true",
    "thousands": '"."',
    "quality_most": "5",
    "stars": '"★"',
    "bare_hex": "true",
    "currency_signs": '["€", "EUR"]',
    "units_in_cells": '["ct"]',
    "yes": '["ja"]',
    "no": '["nein"]',
    "pass_over": '{ Artikel = ["Summe"] }',
    "categories": '{ Garn = "thread" }',
    "weaves": '{ Stramin = "aida" }',
    "kinds": '{ Metallgarn = "metallic" }',
    "lengths": '{ width_cm = "mm" }',
    "split": '{ "Maß" = ["width_cm", "height_cm"] }',
    "join": '{ colours = ["Farbe 1", "Farbe 2"] }',
    "defaults": '{ quality = "50" }',
    "file": '{ encoding = "windows-1252" }',
    "encoding": '"windows-1252"',
    "delimiter": '";"',
    "sheet": '"Goods"',
    "header_row": "4",
    "most_rows": "5000000",
    "most_columns": "2000",
    "most_cell": "1000000",
    "most_bytes": "2000000000",
    "most_seconds": "60",
}


def map_tables() -> str:
    """Return the keys of a map in Markdown, from the descriptions of their models."""
    tables = (_map_table(ColumnMap), "\n### `[file]`\n\n", _map_table(FileOptions))
    return _MAP + "".join(tables)


def _map_table(model: type[BaseModel]) -> str:
    meanings = map_meanings(model)
    rows = [f"| `{key}` | `{_EXAMPLES[key]}` | {meanings[key]} |" for key in model.model_fields]
    return "\n".join(["| key | example | meaning |", "| --- | --- | --- |", *rows, ""])


def craft_tables() -> str:
    """Return the tables of needles and strands in Markdown."""
    head = """\
## Needles and strands by effective count

The effective count is the number of stitches in an inch: the fabric's count on aida, and the count
divided by `over` on evenweave and linen. The tables are common practice, and sources differ; the
brief can replace them (`[fit] needles` and `strands`). The last column follows from geometry: a
cross of pitch s takes 2(1+√2)·s of thread. It is for the highest count of its row.

"""
    columns = (
        "effective count", "needle sizes that suit", "strands in the needle",
        "crosses from a skein of 8 m and six strands, no waste",
    )  # fmt: skip
    lines = [columns, ["---"] * len(columns), *_rows()]
    return head + "".join(f"| {' | '.join(cells)} |\n" for cells in lines)


def _rows() -> Iterator[tuple[str, ...]]:
    ranges = [f"up to {BOUNDS[0]}", *(f"over {low} to {high}" for low, high in pairwise(BOUNDS))]
    ranges.append(f"over {BOUNDS[-1]}")
    counts = (*BOUNDS, None)
    for named, count, sizes, strands in zip(ranges, counts, SIZES, STRANDS, strict=True):
        crosses = f"{_crosses(count, strands):,}" if count else ""
        yield named, ", ".join(map(str, sorted(sizes))), str(strands), crosses


def _crosses(count: int, strands: int) -> int:
    """Return how many crosses a usual skein yields without waste."""
    crosses, _ = strand_length(Charted("", 1), Fraction(count), strands, Fraction(0))
    return int(USUAL_SKEIN / (float(crosses) * (1 + sqrt(2))))
