"""How much a home list of 300 rows adds to a pick, as a command.

Run ``python tests/bench/bench_home.py``. Each command runs several times, and the least processor
time of either kind counts.
"""

from __future__ import annotations

import csv
import random
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP = DEMO / "tormellick-whelk.csv"
ROWS, OTHERS, RUNS = 300, 100, 7


def home_list(folder: Path) -> Path:
    """Write a list of goods of the demo, and of thread that the shop does not sell."""
    rng, path = random.Random(1), folder / "home.csv"
    with SHOP.open(encoding="utf-8", newline="") as file:
        skus = [row["sku"] for row in csv.DictReader(file) if row.get("sold_by") != "length"]
    with path.open("w", encoding="utf-8", newline="") as file:
        lines = csv.writer(file)
        lines.writerow(["sku", "name", "category", "stock", "left_m", "colours"])
        for sku in rng.sample(skus, ROWS - OTHERS):
            lines.writerow([sku, "", "", rng.choice([1, 2, 3]), "", ""])
        for number in range(OTHERS):
            left, colour = rng.randrange(1, 900) / 100, f"#{rng.randrange(2**24):06x}"
            lines.writerow([f"H{number}", f"Old {number}", "thread", "", left, colour])
    return path


def seconds(command: list[str]) -> float:
    """Return the processor time of a command, in seconds."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, check=True, capture_output=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> int:
    """Measure each brief of the demo; 1 if a list adds more than a third."""
    most = 0.0
    with tempfile.TemporaryDirectory() as folder:
        home = home_list(Path(folder))
        for name in ("bundle", "class-of-twelve", "gift-card"):
            brief = DEMO / f"{name}.toml"
            pick = [sys.executable, "-m", "kitsolver", "pick", str(SHOP), str(brief), "--json", "-"]
            plain = min(seconds(pick) for _ in range(RUNS))
            listed = min(seconds([*pick, "--home", str(home)]) for _ in range(RUNS))
            most = max(most, listed / plain)
            print(f"{name:16} {plain:.3f} s, with {ROWS} rows at home {listed:.3f} s")
    print(f"a home list of {ROWS} rows takes {most:.2f} times as long at the most")
    return 0 if most <= 4 / 3 else 1


if __name__ == "__main__":
    raise SystemExit(main())
