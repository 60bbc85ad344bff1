"""How the cost of an answer grows, each dimension by itself over three decades where it has them.

Run ``python tests/bench/bench_growth.py [--limit 60]``. Each size is a process of its own, of which
processor seconds count, without reading and imports. The exponent is the slope of log seconds over
log size, by least squares over the sizes that took at least a tenth of a second. A size is ended
after the limit of processor time, and no larger one of its dimension is tried. No test: these
machines are noisy.
"""

from __future__ import annotations

import argparse
import json
import resource
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from shop import shop_text
from shops import EXTRAS, real_shop

from kitsolver import brief_of, ladder, pick, read_catalogue
from kitsolver.brief.range import Range, RangeKit
from kitsolver.solve.ranges.range import pick_range

BRIEF = {"currency": "EUR", "cap": "40.00"}
NOTICEABLE = 0.1


def _pick(shop: Path, brief: dict[str, Any]) -> float:
    catalogue = read_catalogue(shop, currency="EUR")
    start = time.process_time()
    pick(catalogue, brief_of(brief))
    return time.process_time() - start


def _rungs(shop: Path, upto: int) -> float:
    catalogue = read_catalogue(shop, currency="EUR")
    start = time.process_time()
    ladder(catalogue, brief_of(BRIEF), low=1000, high=1000 + 100 * upto)
    return time.process_time() - start


def _range(shop: Path, kits: int) -> float:
    catalogue = read_catalogue(shop, currency="EUR")
    brief = brief_of(BRIEF)
    asked = tuple(RangeKit(f"kit {number}", 1, brief) for number in range(kits))
    start = time.process_time()
    pick_range(catalogue, Range("range", "", "EUR", False, (), asked))
    return time.process_time() - start


def _unlimited(text: str) -> str:
    """Return the same shop without limits of stock."""
    rows = [line.split(",") for line in text.splitlines()]
    place = rows[0].index("stock")
    kept = [[*row[:place], "", *row[place + 1 :]] for row in rows[1:]]
    return "\r\n".join(",".join(row) for row in [rows[0], *kept]) + "\r\n"


def _categories(size: int) -> str:
    """Return a shop with so many categories of extras, three rows each."""
    lines = shop_text(100, 1_000).splitlines()
    header, cells = lines[0], ["" for _ in lines[0].split(",")]
    places = {name: header.split(",").index(name) for name in ("sku", "name", "category")}
    others = [line for line in lines if not any(f",{name}," in line for name in EXTRAS)]
    added = []
    for number in range(3 * size):
        row = list(cells)
        row[places["sku"]], row[places["name"]] = f"EX{number:06d}", f"Extra number {number}"
        row[places["category"]] = f"extra {number % size}"
        row[header.split(",").index("price")] = f"{1 + number * 7 % 900 / 100:.2f}"
        row[header.split(",").index("quality")] = str(20 + number * 13 % 80)
        added.append(",".join(row))
    return "\r\n".join([*others, *added]) + "\r\n"


@dataclass(frozen=True)
class Dimension:
    """What grows: its sizes, and the catalogue and the work of a size."""

    sizes: tuple[int, ...]
    shop: Callable[[int], str]
    work: Callable[[Path, int], float]


DIMENSIONS = {
    "rows (100 charts)": Dimension(
        (300, 1_000, 3_000, 10_000, 30_000, 100_000, 300_000),
        lambda size: shop_text(100, size),
        lambda shop, _: _pick(shop, BRIEF),
    ),
    "charts (3,000 other rows)": Dimension(
        (10, 30, 100, 300, 1_000, 3_000, 10_000),
        lambda size: shop_text(size, 3_000),
        lambda shop, _: _pick(shop, BRIEF),
    ),
    "colours of every chart (a real shop)": Dimension(
        (3, 10, 20, 40, 70, 100),
        lambda size: real_shop(1, colours=(size, size)),
        lambda shop, size: _pick(shop, BRIEF | {"cap": f"{20 + 2.5 * size:.2f}"}),
    ),
    "categories of extras": Dimension(
        (1, 3, 10, 30, 100, 300, 1_000),
        _categories,
        lambda shop, _: _pick(shop, BRIEF),
    ),
    "heads": Dimension(
        (1, 10, 100, 1_000, 10_000),
        lambda _: _unlimited(shop_text(100, 3_000)),
        lambda shop, size: _pick(shop, {"currency": "EUR", "cap_per_head": "40.00", "heads": size}),
    ),
    "caps of a ladder, in whole EUR above 10.00": Dimension(
        (1, 3, 10, 30, 100, 300, 1_000),
        lambda _: shop_text(100, 3_000),
        _rungs,
    ),
    "kits of a range": Dimension(
        (1, 2, 5, 10, 20, 50),
        lambda _: shop_text(100, 3_000),
        _range,
    ),
}


def seconds_of(name: str, size: int, limit: float) -> float | None:
    """Return the processor seconds of one size; None if the limit passed."""
    command = [sys.executable, __file__, "--limit", str(limit), "--one", name, str(size)]
    done = subprocess.run(command, check=False, capture_output=True, text=True)
    if done.returncode == -signal.SIGXCPU:
        return None
    done.check_returncode()
    found: float = json.loads(done.stdout)
    return found if found <= limit else None


def exponent(times: dict[int, float]) -> str:
    """Return the slope of log seconds over log size, where there is enough to see."""
    seen = {size: spent for size, spent in times.items() if spent >= NOTICEABLE}
    if len(seen) < 2:
        return "below what is noticed"
    slope, _ = np.polyfit(np.log(list(seen)), np.log(list(seen.values())), 1)
    return f"{slope:.2f}"


def main() -> None:
    """Print the table, or time one size for it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--limit", type=float, default=60.0, help="processor seconds for a size")
    parser.add_argument("--one", nargs=2, metavar=("DIMENSION", "SIZE"), help=argparse.SUPPRESS)
    given = parser.parse_args()
    if given.one:
        dimension, size = DIMENSIONS[given.one[0]], int(given.one[1])
        # Reading and imports do not count: a minute is left for them.
        seconds = int(given.limit) + 60
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 1))
        with tempfile.TemporaryDirectory() as folder:
            shop = Path(folder) / "shop.csv"
            shop.write_text(dimension.shop(size), encoding="utf-8", newline="")
            print(json.dumps(dimension.work(shop, size)))
        return
    print("| what grows | seconds by size | exponent |")
    print("|---|---|---|")
    for name, dimension in DIMENSIONS.items():
        times: dict[int, float] = {}
        cells = []
        for size in dimension.sizes:
            spent = seconds_of(name, size, given.limit)
            if spent is None:
                cells.append(f"{size:,}: not done in {given.limit:.0f}")
                break
            times[size] = spent
            cells.append(f"{size:,}: {spent:.2f}")
        print(f"| {name} | {'; '.join(cells)} | {exponent(times)} |", flush=True)


if __name__ == "__main__":
    main()
