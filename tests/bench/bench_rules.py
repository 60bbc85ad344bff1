"""Times picks where rules tie choices: many charts with a limit, the demo's briefs, next rungs.

Run ``python tests/bench/bench_rules.py`` (a minute). Processor time, for these machines are noisy.
"""

from __future__ import annotations

import csv
import io
import random
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from shop import shop_text
from timed import Timed

import kitsolver.solve.pick as pick_module
from kitsolver import brief_of, pick, read_catalogue

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP = DEMO / "tormellick-whelk.csv"
# Grams of a unit, the least and the most, by category; of all others 5 to 150.
GRAMS = {
    "chart": (20, 60),
    "fabric": (40, 300),
    "thread": (4, 12),
    "needle": (1, 5),
    "scissors": (20, 120),
}
# Rules that tie choices, so that charts are models or take branches.
TIED: dict[str, dict[str, Any]] = {
    "a margin of 35 % at 40.00": {
        "cap": "40.00",
        "shop": {"margin_rate": "0.35", "sell_at": "40.00", "uncosted": "leave out"},
    },
    "a margin of 50 % at 32.00": {
        "cap": "30.00",
        "shop": {"margin_rate": "0.5", "sell_at": "32.00", "uncosted": "leave out"},
    },
    "at most 300 g": {"cap": "40.00", "limits": [{"column": "weight_g", "most": 300, "blank": 0}]},
    "at most 200 g": {"cap": "40.00", "limits": [{"column": "weight_g", "most": 200, "blank": 0}]},
    "one series": {"cap": "40.00", "alike": [{"column": "series"}]},
}
# The kit without a limit weighs 269 g; within 90 g there is none.
LIMITS = (500, 250, 200, 150, 120, 110, 100, 90)


def weighed(text: str, seed: int) -> str:
    """Return a catalogue with the weight of each row."""
    draw, rows = random.Random(seed), list(csv.reader(io.StringIO(text)))
    category = rows[0].index("category")
    rows[0].append("weight_g")
    for row in rows[1:]:
        row.append(str(draw.randint(*GRAMS.get(row[category], (5, 150)))))
    written = io.StringIO(newline="")
    csv.writer(written).writerows(rows)
    return written.getvalue()


def open_charts() -> None:
    """Print a line for each limit on the weight of a kit, with 1,000 charts to choose from."""
    print("| a kit weighs at most, g | seconds | quality | charts opened |\n|---|---|---|---|")
    with tempfile.TemporaryDirectory() as folder:
        shop = Path(folder) / "shop.csv"
        shop.write_text(weighed(shop_text(1_000, 3_000), 3), encoding="utf-8", newline="")
        for most in LIMITS:
            # Read anew: nothing is remembered from the limit before.
            catalogue = read_catalogue(shop, currency="EUR")
            limit = {"name": "weight", "column": "weight_g", "most": most}
            brief = brief_of({"currency": "EUR", "cap": "30.00", "limits": [limit]})
            start = time.process_time()
            outcome = pick(catalogue, brief)
            used = time.process_time() - start
            quality = outcome.kit and f"{float(outcome.kit.figures.quality):.3f}"
            opened = outcome.charts and outcome.charts.opened
            print(f"| {most} | {used:.2f} | {quality} | {opened} |", flush=True)


def whole_processes() -> None:
    """Print a line for each brief of the demo with rules of its own, and for one without."""
    print("\n| `kitsolver pick` on the demo | seconds, least of five |\n|---|---|")
    for brief in ("letter", "frame", "bundle"):
        command = [sys.executable, "-m", "kitsolver", "pick", str(SHOP), str(DEMO / brief)]
        print(f"| {brief} | {min(map(processor_seconds, [command] * 5)):.2f} |", flush=True)


def processor_seconds(command: list[str]) -> float:
    """Return the processor's time of a process."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([*command[:-1], f"{command[-1]}.toml"], check=True, capture_output=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def next_rungs() -> None:
    """Print a line for each rule that ties choices: the pick on the demo, and its next rung."""
    print("\n| on the demo | pick, s | next rung by a pick | next rung at |\n|---|---|---|---|")
    catalogue = read_catalogue(SHOP, currency="EUR")
    search = pick_module.tied_rung
    for name, asked in TIED.items():
        brief = brief_of({"currency": "EUR", **asked})
        found = []
        # Once to import the solver.
        for _ in range(4):
            pick_module.tied_rung = timed = Timed(search)
            start = time.process_time()
            outcome = pick(catalogue, brief)
            found.append((time.process_time() - start - timed.seconds, timed.seconds))
        ratio = statistics.median(rung / best for best, rung in found[1:])
        best = statistics.median(best for best, _ in found[1:])
        above = outcome.next_rung and outcome.next_rung.cap
        print(f"| {name} | {best:.2f} | {ratio:.2f} × | {above} |", flush=True)


if __name__ == "__main__":
    open_charts()
    next_rungs()
    whole_processes()
