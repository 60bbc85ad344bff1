"""Everything that has to be fast or small, in one table of ratios.

Run ``python tests/bench/bench_targets.py`` (some six minutes). No test: these machines are noisy.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from bench_batch import tasks_of, times
from bench_charts import seconds
from bench_pick import SHOP, fixed_chart, whole_process
from shop import shop_text

from kitsolver import Engine, Solver, brief_of, ladder, read_catalogue
from kitsolver.batch.work import WorkerContext

LIMIT = 60.0
BRIEF = {"currency": "EUR", "cap": "30.00"}
ROW = tuple[str, str, str]

ALONE = """
import re, sys, time
import pandas  # which a file of this size needs
from kitsolver import brief_of, pick, read_catalogue
def peak():  # of this process alone: what getrusage gives may be its parent's
    return int(re.search(r"VmHWM:\\s+(\\d+)", open("/proc/self/status").read())[1]) / 1024
before, start = peak(), time.perf_counter()
catalogue = read_catalogue(sys.argv[1], currency="EUR")
read = time.perf_counter()
pick(catalogue, brief_of({"currency": "EUR", "cap": "30.00"}))
print(read - start, time.perf_counter() - read, peak() - before)
"""


def shop(folder: Path, charts: int, others: int) -> Path:
    """Write a shop of so many rows."""
    path = folder / f"{charts}-{others}.csv"
    path.write_text(shop_text(charts, others), encoding="utf-8", newline="")
    return path


def alone(path: Path) -> tuple[float, float, float]:
    """Return seconds of reading and of the pick, and megabytes, in a fresh process."""
    command = [sys.executable, "-c", ALONE, str(path)]
    ran = subprocess.run(command, check=True, capture_output=True, text=True)
    read, solved, megabytes = map(float, ran.stdout.split())
    return read, solved, megabytes


def open_charts(folder: Path) -> Iterator[ROW]:
    """Compare the ways over 1,000 charts, and a ladder with a pick."""
    catalogue, brief = read_catalogue(shop(folder, 1_000, 3_000), currency="EUR"), brief_of(BRIEF)
    fast, _ = seconds(catalogue, brief)
    slow = min(
        seconds(catalogue, brief, engine=Engine.ONE_SHOT, solver=solver, seconds=LIMIT)[0]
        for solver in (Solver.SCIP, Solver.HIGHS)
    )
    what = "1,000 open charts, 3,000 other rows, cap 30.00, proven"
    yield what, "≥ 100 × the one model, < 1 s", f"{slow / fast:.0f} ×, {fast:.2f} s"
    start = time.perf_counter()
    found = ladder(catalogue, brief, low=5_00, high=100_00)
    climbed = time.perf_counter() - start
    what = f"its whole ladder, 5.00 to 100.00 ({len(found.rungs)} rungs)"
    yield what, "≤ 5 × one pick", f"{climbed / fast:.1f} ×"


def large(folder: Path) -> Iterator[ROW]:
    """Compare solving with reading, and a million rows with a tenth of them."""
    read, solved, _ = alone(shop(folder, 10_000, 90_000))
    what = "10,000 open charts, 100,000 rows in all"
    yield what, "≤ 1 × reading", f"{solved / read:.1f} × ({solved:.2f} s)"
    fewer = alone(shop(folder, 1_000, 99_000))
    million = shop(folder, 10_000, 990_000)
    read, solved, megabytes = alone(million)
    growth = (read + solved) / (fewer[0] + fewer[1])
    what = "1,000,000 rows, 10,000 of them charts: time against a tenth of them"
    yield what, "≤ 10 ×", f"{growth:.1f} × ({read:.1f} s read, {solved:.1f} s solved)"
    memory = megabytes / (million.stat().st_size / 2**20)
    yield "1,000,000 rows: peak memory, net of imports", "≤ 4 × the file", f"{memory:.1f} ×"


def small() -> Iterator[ROW]:
    """Time picks on the demo, and batches of them."""
    found, _ = fixed_chart()
    median, worst = 1000 * statistics.median(found), 1000 * max(found)
    what = "chart fixed, 200 random briefs on the demo"
    yield what, "median < 30 ms, all < 150 ms", f"{median:.0f} ms, {worst:.0f} ms"
    whole, heavy = whole_process()
    what = "`pick` on the demo, whole process"
    yield what, "≤ 2 × importing pandas, MathOpt, and reading", f"{whole / heavy:.2f} ×"
    goods, tasks = WorkerContext({"EUR": read_catalogue(SHOP, currency="EUR")}), tasks_of(400)
    ratios = [times(goods, tasks, 1)[1] / times(goods, tasks, 2)[1] for _ in range(3)]
    yield "batch, two workers against one", "≥ 1.8 ×", f"{statistics.median(ratios):.2f} ×"


def main() -> None:
    """Print the table."""
    print("| what | must reach | measured |\n|---|---|---|")
    with tempfile.TemporaryDirectory() as folder:
        for part in (small(), open_charts(Path(folder)), large(Path(folder))):
            for row in part:
                print(f"| {' | '.join(row)} |", flush=True)


if __name__ == "__main__":
    main()
