"""Free colours: a chart of 30 colours among 1,000 threads, and the demo's pick and ladder.

Run ``python tests/bench/bench_free.py``. Processor seconds of single runs, the goods read before.
No test: these machines are noisy.
"""

from __future__ import annotations

import random
import tempfile
import time
from pathlib import Path

from bench_pick import SHOP

from kitsolver import brief_of, ladder, pick, read_catalogue

HEADER = (
    "sku,name,category,price,quality,stitches_wide,stitches_high,colours,weave,count,"
    "width_cm,height_cm,needle_sizes"
)
GOODS = [
    "FA,Fabric,fabric,4.00,70,,,,aida,14,60,60,",
    "NE,Needle,needle,1.00,70,,,,,,,,24;26",
    "SC,Scissors,scissors,3.00,70,,,,,,,,",
    *(f"EX{number},Extra,card,{1 + number}.00,{50 + number},,,,,,,," for number in range(5)),
]


def shop(*, varied: bool, colours: int = 30, threads: int = 1_000) -> str:
    """Return a shop of one chart, with prices and qualities all alike or varied."""
    draw = random.Random(7)
    charted = draw.sample(range(1 << 24), colours)
    shades = draw.sample(range(1 << 24), threads)
    stitches = ";".join(f"#{colour:06x}:{draw.randint(30, 500)}" for colour in charted)
    lines = [HEADER, f"CH,Chart,chart,5.00,80,100,100,{stitches},,,,,", *GOODS]
    for number, shade in enumerate(shades):
        price, quality = "1.00", 70
        if varied:
            price, quality = f"{draw.randint(80, 160) / 100:.2f}", draw.randint(40, 100)
        lines.append(f"T{number:04d},Thread,thread,{price},{quality},,,#{shade:06x},,,,,")
    return "\n".join(lines) + "\n"


def main() -> None:
    """Print the table."""
    shades = {"mode": "free", "wish": ["#7fc4c8"]}
    print("| what | proven | s |\n|---|---|---|")
    for varied in (False, True):
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "shop.csv"
            path.write_text(shop(varied=varied), encoding="utf-8")
            catalogue = read_catalogue(path, currency="EUR")
        for cap in ("45.00", "60.00"):
            start = time.process_time()
            found = pick(catalogue, brief_of({"currency": "EUR", "cap": cap, "shades": shades}))
            spent = time.process_time() - start
            what = f"prices and qualities {'varied' if varied else 'all alike'}, cap {cap}"
            print(f"| {what} | {found.status} | {spent:.1f} |", flush=True)
    demo, brief = (
        read_catalogue(SHOP, currency="EUR"),
        brief_of({"currency": "EUR", "cap": "30.00", "shades": shades}),
    )
    start = time.process_time()
    picked = pick(demo, brief)
    print(f"| the demo, cap 30.00 | {picked.status} | {time.process_time() - start:.1f} |")
    start = time.process_time()
    climb = ladder(demo, brief)
    spent = time.process_time() - start
    what = f"its whole ladder, {len(climb.rungs)} rungs"
    print(f"| {what} | {climb.complete} | {spent:.1f} |")


if __name__ == "__main__":
    main()
