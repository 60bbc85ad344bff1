"""Times picks and their next rungs in shops as they are; each shop in a process of its own.

Run ``python tests/bench/bench_shops.py [--ladder]``. Processor time, for these machines are noisy.
"""

from __future__ import annotations

import argparse
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from shops import hard_families, real_shop, small_real_shop
from timed import Timed

import kitsolver.solve.pick as pick_module
from kitsolver import brief_of, ladder, pick, read_catalogue

SEEDS = range(1, 6)
SHOPS = {
    "real shop": (real_shop, ("40.00", "70.00", "120.00")),
    "small real shop": (small_real_shop, ("30.00", "60.00")),
    "hard families": (hard_families, ("30.00",)),
}
BASE = "import pandas, ortools.math_opt.python.mathopt"


def measure(kind: str, seed: int, *, rungs: bool) -> None:
    """Print one line: processor seconds of each pick, of the ladder if asked, and memory."""
    draw, caps = SHOPS[kind]
    search = pick_module.next_rung
    with tempfile.TemporaryDirectory() as folder:
        shop = Path(folder) / "shop.csv"
        shop.write_text(draw(seed), encoding="utf-8", newline="")
        for cap in caps:
            # Read anew: nothing is remembered from the cap before.
            catalogue = read_catalogue(shop, currency="EUR")
            brief = brief_of({"currency": "EUR", "cap": cap})
            pick_module.next_rung = timed = Timed(search)
            start = time.process_time()
            outcome = pick(catalogue, brief)
            used = time.process_time() - start
            found = outcome.kit and f"{float(outcome.kit.figures.quality):.3f}"
            above = outcome.next_rung and outcome.next_rung.cap
            by_pick = timed.seconds / (used - timed.seconds)
            print(f"| {kind} | {seed} | {cap} | {used:.2f} | {found} | {above} | ", end="")
            print(f"{by_pick:.2f} × | ", end="")
            print(f"{resource.getrusage(resource.RUSAGE_SELF).ru_maxrss >> 10} |", flush=True)
        if rungs:
            start = time.process_time()
            found_rungs = ladder(catalogue, brief, low=500, high=20_000).rungs
            used = time.process_time() - start
            print(f"| {kind} | {seed} | its ladder | {used:.2f} | {len(found_rungs)} rungs | | | |")


def main() -> None:
    """Print a table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--ladder", action="store_true", help="the real shops' ladders, too")
    parser.add_argument("--one", nargs=2, metavar=("SHOP", "SEED"), help="one shop only")
    asked = parser.parse_args()
    if asked.one:
        measure(asked.one[0], int(asked.one[1]), rungs=asked.ladder)
        return
    start = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime
    subprocess.run([sys.executable, "-c", BASE], check=True)
    base = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime - start
    print(f"Importing pandas and MathOpt takes {base:.2f} s of processor time.\n")
    print("| shop | seed | cap | seconds | quality | next rung | it took, by the pick | MB |")
    print("|---|---|---|---|---|---|---|---|")
    for kind in SHOPS:
        for seed in SEEDS:
            command = [sys.executable, __file__, "--one", kind, str(seed)]
            wanted = ["--ladder"] if asked.ladder and kind == "real shop" else []
            sys.stdout.flush()
            subprocess.run([*command, *wanted], check=True)


if __name__ == "__main__":
    main()
