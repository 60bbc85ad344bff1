"""Reading and checking a large catalogue, against pandas reading the same file: time and memory.

Run ``python tests/bench/bench_reading.py``. Each figure is from a fresh process, net of imports;
the readers take turns, and the table gives the median of each and the ratios to it.
"""

from __future__ import annotations

import argparse
import csv
import random
import subprocess
import sys
import tempfile
from pathlib import Path
from statistics import median

ROOT = Path(__file__).parents[2]
HEADER = (  # noqa: SIM905 - a line a word would hide the bench
    "sku name category price quality stock serves trade_cost tags gtin "
    "stitches_wide stitches_high colours weave count width_cm height_cm width_in height_in "
    "skein_m strands needle_sizes diameter_cm diameter_in supplier shelf season note"
).split()
OTHERS = ("scissors", "case", "lamp", "frame", "bag", "pincushion", "ruler", "book")

MEASURE = """
import resource, sys, time
{imports}
def peak():
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
before, start = peak(), time.process_time()
result = {call}
print(time.process_time() - start, peak() - before)
"""
READERS = {
    "pandas.read_csv": ("import pandas", "pandas.read_csv(sys.argv[1])"),
    "pandas, as text": (
        "import pandas",
        "pandas.read_csv(sys.argv[1], dtype=str, na_filter=False)",
    ),
    "read_catalogue": (
        # Of large files pandas parses the cells, and is imported when it is first needed.
        "import pandas; from kitsolver.shop.reading import read_catalogue",
        "read_catalogue(sys.argv[1], currency='EUR')",
    ),
}


def check_digit(digits: str) -> str:
    """Return the GS1 check digit (GS1 General Specifications, 7.9.1)."""
    total = sum(int(d) * (3, 1)[place % 2] for place, d in enumerate(reversed(digits)))
    return str(-total % 10)


def goods(draw: random.Random, number: int, gtins: float) -> dict[str, object]:
    """Return one sound row."""

    def colour() -> str:
        return f"#{draw.randrange(1 << 24):06x}"

    category = draw.choice(("chart", "fabric", "thread", "needle", "hoop", *OTHERS, *OTHERS))
    row: dict[str, object] = {
        "sku": f"K{number:06}",
        "name": f"{draw.choice(('Plain', 'Fine', 'Small', 'Large'))} {category} {number}",
        "category": category,
        "price": f"{draw.randint(50, 9000) / 100:.2f}",
        "quality": draw.randint(0, 100),
        "stock": draw.choice(("", draw.randint(0, 99))),
        "trade_cost": f"{draw.randint(20, 5000) / 100:.2f}",
        "tags": draw.choice(("", "soft", "soft;gift", "class")),
        "supplier": draw.choice("ABC"),
        "shelf": draw.randint(1, 300),
        "season": draw.choice(("", "spring", "autumn")),
        "note": draw.choice(("", "", "", "ask first, then order")),
    }
    if draw.random() < gtins:
        digits = f"200{number:09}"
        row["gtin"] = digits + check_digit(digits)
    by_category: dict[str, dict[str, object]] = {
        "chart": {
            "stitches_wide": draw.randint(20, 300),
            "stitches_high": draw.randint(20, 300),
            "colours": ";".join(
                f"{shade}:{draw.randint(1, 3000)}"
                for shade in {colour() for _ in range(draw.randint(3, 20))}
            ),
        },
        "fabric": {
            "weave": draw.choice(("aida", "evenweave", "linen")),
            "count": draw.choice((11, 14, 16, 18, 25, 28)),
            "width_cm": draw.randint(20, 150),
            "height_cm": draw.randint(20, 150),
        },
        "thread": {"colours": colour(), "skein_m": 8},
        "needle": {"needle_sizes": draw.choice(("22;24", "24", "26", "26;28"))},
        "hoop": {"diameter_cm": draw.randint(8, 30)},
    }
    return row | by_category.get(category, {})


def write_catalogue(path: Path, rows: int, gtins: float) -> None:
    """Write a catalogue of so many sound rows, the same every time."""
    draw = random.Random(20)
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, HEADER, restval="")
        writer.writeheader()
        writer.writerows(goods(draw, number, gtins) for number in range(rows))


def measure(reader: str, path: Path) -> tuple[float, float]:
    """Return seconds and megabytes of one reading in a fresh process."""
    imports, call = READERS[reader]
    script = MEASURE.format(imports=imports, call=call)
    run = subprocess.run(
        [sys.executable, "-c", script, str(path)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    seconds, kilobytes = run.stdout.split()
    return float(seconds), float(kilobytes) / 1024


def main() -> None:
    """Measure, and print the table."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--rows", type=int, default=100_000)
    options.add_argument("--repeat", type=int, default=7)
    options.add_argument("--gtins", type=float, default=0.3, help="share of rows with a GTIN")
    wish = options.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "catalogue.csv"
        write_catalogue(path, wish.rows, wish.gtins)
        runs = [{name: measure(name, path) for name in READERS} for _ in range(wish.repeat)]
        size = path.stat().st_size / 2**20
    print(f"{wish.rows:,} rows, {len(HEADER)} columns, {size:.1f} MB, {wish.repeat} runs each")
    print(f"{'':18}{'seconds':>10}{'peak MB':>10}")
    middle = {n: tuple(median(run[n][i] for run in runs) for i in (0, 1)) for n in READERS}
    for name, (seconds, megabytes) in middle.items():
        print(f"{name:18}{seconds:10.3f}{megabytes:10.1f}")
    ours = middle["read_catalogue"]
    for name, theirs in middle.items():
        ratios = (ours[0] / theirs[0], ours[1] / theirs[1])
        print(f"{'to ' + name:18}{ratios[0]:10.2f}{ratios[1]:10.2f}")


if __name__ == "__main__":
    main()
